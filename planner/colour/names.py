"""What a colour is called: ISCC–NBS names for surfaces and glows, hue families for flashes.

A name is that of the nearest of the 267 ISCC–NBS centroids in CAM16-UCS (K. L. Kelly, D. B. Judd,
"Color: Universal Language and Dictionary of Names", NBS Special Publication 440, 1976), not of the
block in Munsell space, whose boundaries are not at hand in CIELAB: near a boundary the two differ.
Only near neutral is a boundary kept (`NEUTRAL_NAME_CHROMA`).

A flash is a light thousands of times brighter than white, which the names do not cover. It is
brought to one luminance and keeps only a hue family, or "white".
"""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.adaptation import adaptation_matrix, degree_for
from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.ordered import distinct, quantiles
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.tristimulus import white_d65
from planner.colour.uniform import lab_to_cam16_ucs
from planner.data import shared
from planner.refusal import InvalidValue

FAMILIES: Final = (
    "red", "orange", "yellow", "yellow green", "green", "blue green", "blue", "violet", "purple",
    "pink", "brown", "olive", "white", "grey", "black",
)  # fmt: skip
"""Families of surface colours, chromatic ones in hue order."""

FLASH_FAMILIES: Final = (
    "white", "red", "orange", "yellow", "yellow green", "green", "blue green", "blue", "violet",
    "purple", "pink",
)  # fmt: skip
"""Families of flashes. Brown, olive, grey and black are dark beside something; a lone light is not."""

NO_LIGHT: Final = -1
"""Index of a flash without any light."""

FLASH_LIGHTNESS: Final = 65.0
"""L* at which the purity of a flash is judged: near the middle of the vivid centroids (22 to 83)."""

WHITE_FLASH_CHROMA: Final = 12.0
"""C* at that L* below which a flash is white: all ISCC–NBS whites and greys lie below (up to 11)."""

PINK_FLASH_CHROMA: Final = 60.0
"""C* at that L* below which a red light is pink: between "deep pink" (50) and "strong red" (70)."""

NEUTRAL_NAME_CHROMA: Final = 3.0
"""C* below which a colour has a neutral name (white, grey, black, or one of these with "bluish",
"greenish" and so on). The standard's neutrals reach to about Munsell chroma 0.5 (Kelly & Judd 1976,
from memory), which is a C* of 2 to 3. Its neutral centroids are so far apart in lightness, black at
L* 13 and dark grey at 36, that a dark grey between them is nearer to a brown."""

PLAIN_NAME_CHROMA: Final = 1.5
"""C* below which a neutral is not even "bluish": half of the above (our choice)."""

_ACROSS_CHROMA: Final = 8.0
"""C* below which some centroid nearest in lightness lies across neutral (from 3 to 8, one colour in a
hundred): a name whose hue is more than a right angle away is not given there."""

_NEUTRAL: Final = ("white", "grey", "black")

# Its value as carried has the hue of vivid greenish blue (−139° round white in u', v'; the other blues
# lie from −114°, strong, to −129°, pale): it was clipped to a screen's gamut, and would call cyan blue.
# It keeps its place in the table, but the name is never given.
# "Deep yellowish pink" stands in the table with the chroma of a vivid orange, 75 where deep pink has 48 (its
# blue is most likely misprinted, 21 for 61; from memory), and took every orange stone for a pink.
_UNUSABLE: Final = frozenset({"vivid blue", "deep yellowish pink"})

# Colours worked on at once. Products with all centroids are kept small: they stay in the cache, and
# the matrix library does not wake a second thread for them.
_NAME_BLOCK: Final = 256
_FLASH_BLOCK: Final = 8192


@dataclass(frozen=True, slots=True, eq=False)
class _Centroids:
    """The table, and what finds the nearest of it quickly."""

    names: tuple[str, ...]
    hue_names: tuple[str, ...]
    families: NDArray[np.int8]
    """Indices into `FAMILIES`, shape (267,)."""
    lab: NDArray[np.float64]
    """CIELAB under D65, shape (267, 3)."""
    uniform: NDArray[np.float64]
    """The same in CAM16-UCS, shape (267, 3)."""
    offset: NDArray[np.float64]
    """Half of its square; infinite for those that are not usable, shape (267,)."""
    usable: NDArray[np.bool_]
    """False for the two centroids that mislead, shape (267,)."""
    neutral: NDArray[np.bool_]
    """True for white, grey, black and their neighbours such as "bluish grey", shape (267,)."""
    plain: NDArray[np.bool_]
    """True for white, the greys and black that have no hue at all, shape (267,)."""
    purer: NDArray[np.intp]
    """For a strong one the vivid one of its hue name, for others itself, shape (267,)."""


@cache
def _centroids() -> _Centroids:
    lines = shared("iscc_nbs_centroids.csv").read_text(encoding="utf-8").splitlines()
    rows = [line.split(",") for line in lines if not line.startswith("#")][1:]
    names, hexes, hue_names, families = zip(*rows, strict=True)
    lab = srgb_to_lab(np.stack([parse_hex(text) for text in hexes]))
    usable = np.array([name not in _UNUSABLE for name in names])
    uniform = lab_to_cam16_ucs(lab)
    return _Centroids(
        names=names,
        hue_names=hue_names,
        families=np.array([FAMILIES.index(family) for family in families], dtype=np.int8),
        lab=lab,
        uniform=uniform,
        offset=np.where(usable, (uniform * uniform).sum(axis=1) / 2, np.inf),
        usable=usable,
        neutral=np.array([family in _NEUTRAL for family in families]),
        plain=np.array([hue_name in _NEUTRAL for hue_name in hue_names]),
        purer=_purer(names, hue_names, uniform, usable),
    )


def _purer(
    names: tuple[str, ...], hue_names: tuple[str, ...], uniform: NDArray[np.float64],
    usable: NDArray[np.bool_],
) -> NDArray[np.intp]:  # fmt: skip
    """Return `_Centroids.purer`."""
    purity, found = np.hypot(uniform[:, 1], uniform[:, 2]), np.arange(len(names))
    place = {name: at for at, name in enumerate(names)}
    for hue in set(hue_names):
        strong, vivid = place.get(f"strong {hue}"), place.get(f"vivid {hue}")
        # A vivid one that was clipped to a screen's gamut may be no purer than the strong one.
        if strong is not None and vivid is not None and usable[vivid] and purity[strong] < purity[vivid]:
            found[strong] = vivid
    return found


def names() -> tuple[str, ...]:
    """Return the 267 names in lower case, in the order of `name_index`."""
    return _centroids().names


def centroid_lab() -> NDArray[np.float64]:
    """Return CIELAB under D65 of every name's centroid, shape (267, 3), in the order of `names`."""
    return _centroids().lab


def neutral_centroids() -> list[tuple[str, NDArray[np.float64]]]:
    """Return white, the greys, black and their neighbours such as "bluish grey": family and CIELAB (3,)."""
    found = _centroids()
    return [(FAMILIES[found.families[at]], found.lab[at]) for at in np.flatnonzero(found.neutral)]


def name_index(lab: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return which ISCC–NBS centroid is nearest, as indices into `names`.

    Colours below `NEUTRAL_NAME_CHROMA` are compared with the neutral centroids alone, those below
    `PLAIN_NAME_CHROMA` with white, the greys and black. What is purer than the vivid centroid of its hue is
    vivid and not strong: the standard's vivid blocks are open towards higher chroma (Kelly & Judd 1976,
    from memory), and a vivid centroid that is dark would leave it to a duller name.

    Parameters
    ----------
    lab : ndarray, shape (..., 3)
        CIELAB under D65; a colour brighter than white is named after `capped`.

    Returns
    -------
    ndarray of int, shape (...)
    """
    centres, offset = _centroids().uniform, _centroids().offset
    flat = capped(np.asarray(lab, np.float64))[0].reshape(-1, 3)
    chroma = np.hypot(flat[:, 1], flat[:, 2])
    found = np.empty(len(flat), dtype=np.intp)
    for at in range(0, len(flat), _NAME_BLOCK):
        block = slice(at, at + _NAME_BLOCK)
        # The nearest centre c has the largest p·c − |c|²/2.
        points = lab_to_cam16_ucs(flat[block])
        nearness = points @ centres.T - offset
        dull = np.flatnonzero(chroma[block] < _ACROSS_CHROMA)
        if len(dull):
            nearness[dull] -= np.where(_misleads(points[dull], chroma[block][dull]), np.inf, 0.0)
        found[block] = _vivid_where_purer(points, nearness.argmax(axis=1))
    return found.reshape(np.shape(lab)[:-1])


def _vivid_where_purer(points: NDArray[np.float64], found: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the names (n,) found, or the vivid one of the same hue for what is purer than that."""
    table = _centroids()
    vivid = table.purer[found]
    pure, purest = (np.hypot(one[:, 1], one[:, 2]) for one in (points, table.uniform[vivid]))
    return np.where(pure > purest, vivid, found)


def _misleads(points: NDArray[np.float64], chroma: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Say, shape (n, 267), which names would claim a hue that near-neutral colours do not have."""
    table = _centroids()
    across = (points[:, 1:] @ table.uniform[:, 1:].T < 0) & ~table.plain
    coloured = (chroma < NEUTRAL_NAME_CHROMA)[:, None] & ~table.neutral
    tinted = (chroma < PLAIN_NAME_CHROMA)[:, None] & ~table.plain
    return np.asarray(across | coloured | tinted)


def name_of(lab: NDArray[np.float64]) -> str:
    """Return the ISCC–NBS name of one colour, shape (3,): "vivid purplish blue"."""
    return _centroids().names[int(name_index(lab))]


def named(lab: NDArray[np.float64]) -> list[tuple[str, str]]:
    """Return the ISCC–NBS name and the hue family, out of `FAMILIES`, of colours, shape (n, 3)."""
    table = _centroids()
    return [(table.names[at], FAMILIES[table.families[at]]) for at in name_index(lab)]


def hue_name_of(lab: NDArray[np.float64]) -> str:
    """Return the name of one colour, shape (3,), without lightness and vividness: "purplish blue"."""
    return _centroids().hue_names[int(name_index(lab))]


def family_index(lab: NDArray[np.float64]) -> NDArray[np.int8]:
    """Return hue families of colours, shape (..., 3), as indices into `FAMILIES`, shape (...)."""
    return _centroids().families[name_index(lab)]


def family_of(lab: NDArray[np.float64]) -> str:
    """Return the hue family of one colour, shape (3,), out of `FAMILIES`."""
    return FAMILIES[int(family_index(lab))]


def capped(lab: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Bring a glow brighter than white to the luminance of white at its own chromaticity.

    Parameters
    ----------
    lab : ndarray, shape (..., 3)

    Returns
    -------
    lab : ndarray, shape (..., 3)
        L* at most 100. Scaling XYZ scales a* and b* by the cube root, which is
        (100 + 16) / (L* + 16).
    is_capped : ndarray of bool, shape (...)
        True where the name is one of a dimmer colour than the glow.
    """
    is_capped = lab[..., 0] > 100.0 + 1e-9
    scale = np.where(is_capped, 116.0 / np.maximum(lab[..., 0] + 16.0, 1.0), 1.0)
    lightness = np.where(is_capped, 100.0, lab[..., 0])
    return np.stack([lightness, lab[..., 1] * scale, lab[..., 2] * scale], axis=-1), is_capped


@cache
def family_swatch(family: str) -> NDArray[np.float64]:
    """Return a colour to draw a family with: its most vivid centroid of that very hue name.

    Parameters
    ----------
    family : str
        One of `FAMILIES`.

    Returns
    -------
    ndarray, shape (3,)
        CIELAB under D65, read-only; for white, grey and black the neutral centroid.
    """
    if family not in FAMILIES:
        raise InvalidValue(f"No hue family is called '{family}': choose from {', '.join(FAMILIES)}.")
    table = _centroids()
    hue_name = "bluish green" if family == "blue green" else family
    own = table.lab[table.usable & np.array([name == hue_name for name in table.hue_names])]
    if family in ("white", "grey", "black"):
        swatch = np.array([quantiles(own[:, 0], (0.5,))[0], 0.0, 0.0])
    else:
        swatch = own[np.argmax(np.hypot(own[:, 1], own[:, 2]))].copy()
    swatch.setflags(write=False)
    return swatch


def flash_family(xyz: NDArray[np.float64], white: NDArray[np.float64]) -> NDArray[np.int8]:
    """Return the hue family of single flashes.

    Each is adapted from the venue's white to D65 (CAT16) and looked up by its chromaticity u', v'
    in a table of `flash_family_of_chromaticity`, with cells 0.002 wide.

    Parameters
    ----------
    xyz : ndarray, shape (..., 3)
        Flashes at any brightness.
    white : ndarray, shape (3,)
        White cloth in the same venue, any brightness.

    Returns
    -------
    ndarray of int8, shape (...)
        Indices into `FLASH_FAMILIES`; `NO_LIGHT` where there is none.
    """
    # One matrix product gives u' and v' before their division, in cells of the table.
    to_cells = np.array([[4.0, 0.0, 1.0], [0.0, 9.0, 15.0], [0.0, 0.0, 3.0]]) * [_PER_UNIT, _PER_UNIT, 1.0]
    matrix = adaptation_matrix(white, degree=degree_for(white)) @ to_cells
    flat = np.asarray(xyz, np.float64).reshape(-1, 3)
    found = np.empty(len(flat), dtype=np.int8)
    for at in range(0, len(flat), _FLASH_BLOCK):
        scaled = flat[at : at + _FLASH_BLOCK] @ matrix
        light = scaled[:, 2] > 0
        cells = scaled[:, :2] / np.where(light, scaled[:, 2], 1.0)[:, None]
        cells = np.clip(cells, 0, _CELLS - 1).astype(np.int32)
        families = _families_of_cells(cells[:, 0] * _CELLS + cells[:, 1])
        found[at : at + _FLASH_BLOCK] = np.where(light, families, NO_LIGHT)
    return found.reshape(np.shape(xyz)[:-1])


def flash_family_of_chromaticity(uv: NDArray[np.float64]) -> NDArray[np.int8]:
    """Return the hue family of lights of these chromaticities, seen by an eye adapted to D65.

    White below `WHITE_FLASH_CHROMA`; else the family of the nearest ISCC–NBS centroid in the
    CIE 1976 diagram, where lightness is left out, so that dark blue and blue count alike. The vivid
    centroids are continued outwards, away from white: a light purer than a surface can be has the
    hue of the vivid one it surpasses. Centroids of brown and olive are left out, and pink is what a
    red light is below `PINK_FLASH_CHROMA`.

    Parameters
    ----------
    uv : ndarray, shape (..., 2)
        CIE 1976 u', v'.

    Returns
    -------
    ndarray of int8, shape (...)
        Indices into `FLASH_FAMILIES`.
    """
    flat = np.asarray(uv, np.float64).reshape(-1, 2)
    anchors, rays, families = _flash_anchors()
    length = np.hypot(*anchors.T)
    directions = (anchors[:rays] / length[:rays, None]).T
    points = flat - _to_uv(white_d65())
    found = np.empty(len(flat), dtype=np.int8)
    for at in range(0, len(flat), _NAME_BLOCK):
        block = points[at : at + _NAME_BLOCK]
        # The nearest of all has the largest |p|² − |p − c|² = 2·p·c − |c|². For a ray, c is the foot
        # of the perpendicular on it, unless that lies before the ray begins.
        nearness = 2 * block @ anchors.T - length**2
        along = block @ directions
        foot = np.maximum(along, length[:rays])
        nearness[:, :rays] = foot * (2 * along - foot)
        found[at : at + _NAME_BLOCK] = families[nearness.argmax(axis=1)]
    chroma = np.hypot(*_at_flash_lightness(flat)[:, 1:].T)
    red, pink, white = (FLASH_FAMILIES.index(family) for family in ("red", "pink", "white"))
    found[(found == red) & (chroma < PINK_FLASH_CHROMA)] = pink
    found[chroma < WHITE_FLASH_CHROMA] = white
    return found.reshape(np.shape(uv)[:-1])


@cache
def _flash_anchors() -> tuple[NDArray[np.float64], int, NDArray[np.int8]]:
    """Chromatic centroids: u', v' from white, rays first; the number of rays; flash families."""
    table = _centroids()
    uv = _to_uv(lab_to_xyz(table.lab))
    lights = set(FLASH_FAMILIES) - {"white", "pink"}
    chosen = table.usable & np.array([FAMILIES[family] in lights for family in table.families])
    chosen &= np.hypot(*_at_flash_lightness(uv)[:, 1:].T) >= WHITE_FLASH_CHROMA
    # Strong blue stands in for the vivid one that cannot be used.
    is_ray = chosen & np.array([name.startswith("vivid") or name == "strong blue" for name in table.names])
    order = np.concatenate([np.flatnonzero(is_ray), np.flatnonzero(chosen & ~is_ray)])
    families = [FLASH_FAMILIES.index(FAMILIES[family]) for family in table.families[order]]
    return uv[order] - _to_uv(white_d65()), int(is_ray.sum()), np.array(families, dtype=np.int8)


# Cells of the table of flashes, over u' and v' from 0 to 0.64: all real lights and some more.
_CELLS: Final = 320
_PER_UNIT: Final = _CELLS / 0.64
_NOT_YET: Final = -2


# Families of the cells asked for so far; the others are worked out when a flash falls into them.
_plane = np.full(_CELLS * _CELLS, _NOT_YET, dtype=np.int8)


def _families_of_cells(cells: NDArray[np.int32]) -> NDArray[np.int8]:
    """Flash families of cells numbered u' · 320 + v', from the middle of each."""
    found = _plane[cells]
    missing = found == _NOT_YET
    if missing.any():
        # All flashes of a stone fall into a few hundred cells of the hundred thousand.
        new = distinct(cells[missing])
        _plane[new] = flash_family_of_chromaticity((np.stack(np.divmod(new, _CELLS), -1) + 0.5) / _PER_UNIT)
        found = _plane[cells]
    return found


def _to_uv(xyz: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIE 1976 UCS (ISO/CIE 11664-5:2016): u' = 4X / (X + 15Y + 3Z), v' = 9Y / (X + 15Y + 3Z)."""
    return np.asarray(xyz[..., :2] * [4.0, 9.0] / (xyz @ [1.0, 15.0, 3.0])[..., None])


def _at_flash_lightness(uv: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIELAB of a chromaticity u', v' at `FLASH_LIGHTNESS`."""
    u, v = uv[..., 0], uv[..., 1]
    xyz = np.stack([9 * u / (4 * v), np.ones_like(u), (12 - 3 * u - 20 * v) / (4 * v)], axis=-1)
    return xyz_to_lab(xyz * ((FLASH_LIGHTNESS + 16.0) / 116.0) ** 3)
