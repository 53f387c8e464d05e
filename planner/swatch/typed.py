"""A swatch typed in: sRGB digits, CIELAB, L*C*h, XYZ, or a colour's name."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import lab_to_xyz, lch_to_lab, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.grid import on_grid
from planner.colour.names import centroid_lab, name_index, names
from planner.colour.observer import illuminant, illuminant_names, observer
from planner.colour.screen import HEX, lab_to_srgb, parse_hex, srgb_to_lab, to_hex, xyz_to_linear
from planner.colour.tables import read_table
from planner.colour.tristimulus import weights
from planner.refusal import InvalidValue
from planner.swatch.called import Named, UnknownName, colours_called
from planner.swatch.recover import reflectance_from_xyz
from planner.swatch.resolve import TYPED_UNCERTAINTY, from_lab
from planner.swatch.taken import Taken, taken

NUMBERS_UNCERTAINTY: Final = 1.0
"""ΔE00 of CIELAB, L*C*h or XYZ that someone read off an instrument or a card (our choice)."""

FROM_DAYLIGHT: Final = 1.3
"""Root mean square ΔE00 of bringing a colour from C, D50 … D75 or another observer to D65 and 2°.

The way goes by the smoothest spectrum. Measured on 123 published spectra (tests/swatch/test_typed.py):
D50 0.7 (2°), C 1.3 (10°), D65 1.3 (10°).
"""

FROM_OTHER_LIGHT: Final = 2.8
"""The same from any other light: A 2.5 (2°), FL11 2.7 (2°)."""

OBSERVERS: Final = (2, 10)
"""Degrees of the CIE 1931 and 1964 standard observers."""

_KINDS: Final = {"lab": "CIELAB", "lch": "CIELAB L*C*h", "xyz": "XYZ"}
_NUMBERED: Final = re.compile(r"(lab|lch|xyz)\b[\s(:=]*(.*?)\)?", re.IGNORECASE | re.DOTALL)
_NUMBER: Final = re.compile(r"[-+\u2212]?(?:\d+\.?\d*|\.\d+)")
_EXAMPLES: Final = '2a4b9c, "lab 34 12 -46", "lch 34 48 285", "xyz 8.9 8.0 33.2" or "dusty wine red"'
_DULLED: Final = 2.0
"""ΔE00 from which a colour that had to be dulled is told of: an eye at arm's length tells 1 to 2."""
# Steps of the lattice of CIELAB whose colours are asked for their names.
_LATTICE: Final = 4.0


def from_text(
    text: str, *, illuminant_name: str = "D65", degrees: int = 2, fluorescent: bool = False
) -> Taken:
    """Return a swatch from what a person typed.

    Parameters
    ----------
    text : str
        "#2a4b9c", "lab L a b", "lch L C h" (h in degrees), "xyz X Y Z" (Y = 100 for the perfect
        diffuser), or a name such as "royal blue".
    illuminant_name, degrees : str, int
        Light (`planner.colour.observer.illuminant_names`) and observer (2 or 10) of the numbers; sRGB and
        names have theirs by definition.
    fluorescent : bool
        Whether the cloth is neon.

    Raises
    ------
    ValueError
        If `text` is none of these, or no cloth has the colour.
    """
    light_weights(illuminant_name, degrees)
    stripped = text.strip()
    numbered = _NUMBERED.fullmatch(stripped.replace("*", ""))
    if numbered is None and (illuminant_name, degrees) != ("D65", 2):
        raise InvalidValue(
            f"found '{text}' with a light or observer of its own; only lab, lch and xyz take one"
        )
    if HEX.fullmatch(stripped):
        rgb = parse_hex(stripped)
        colour = from_lab(srgb_to_lab(rgb), uncertainty=TYPED_UNCERTAINTY, fluorescent=fluorescent)
        return taken(colour, f"typed as sRGB {to_hex(rgb)}")
    if numbered is None:
        return from_name(stripped)
    return from_numbers(
        numbered[1].lower(), _three(numbered[2], text), illuminant_name=illuminant_name, degrees=degrees,
        fluorescent=fluorescent,
    )  # fmt: skip


def _three(text: str, whole: str) -> NDArray[np.float64]:
    found = _NUMBER.findall(text)
    if len(found) != 3 or _NUMBER.sub("", text).strip(" ,;/\t°"):
        raise InvalidValue(
            f"found '{whole}'; after lab, lch or xyz stand three numbers with decimal points, such as "
            f"lab 34 12 -46"
        )
    return np.array([float(one.replace("\u2212", "-")) for one in found])


def from_numbers(
    kind: str,
    values: NDArray[np.float64],
    *,
    illuminant_name: str = "D65",
    degrees: int = 2,
    uncertainty: float = NUMBERS_UNCERTAINTY,
    fluorescent: bool = False,
) -> Taken:
    """Return a swatch from three numbers, brought to D65 and 2° by the smoothest spectrum that has them.

    Parameters
    ----------
    kind : str
        "lab", "lch" or "xyz".
    values : ndarray, shape (3,)
        As `from_text` has them.
    illuminant_name, degrees : str, int
        Their light and observer.
    uncertainty : float
        Root mean square ΔE00 of the numbers themselves.
    fluorescent : bool
        Whether the cloth is neon; its numbers must then be of D65 and 2°.

    Raises
    ------
    ValueError
        If light or observer are unknown, or no cloth has the colour.
    """
    if kind == "lch" and values[1] < 0.0:
        raise InvalidValue(
            f"found a chroma of {values[1]:g}; it must be 0 or more: the hue alone turns a colour"
        )
    light = light_weights(illuminant_name, degrees)
    white = light.sum(axis=0)
    lab = lch_to_lab(values) if kind == "lch" else values
    xyz = values / 100.0 if kind == "xyz" else lab_to_xyz(lab, white)
    shown = ", ".join(f"{value:g}" for value in values)
    how = f"typed as {_KINDS[kind]} {shown} ({illuminant_name}, {degrees}°)"
    if (illuminant_name, degrees) == ("D65", 2):
        lab = xyz_to_lab(xyz) if kind == "xyz" else lab
        return taken(from_lab(lab, uncertainty=uncertainty, fluorescent=fluorescent), how)
    if fluorescent:
        raise InvalidValue(
            f"found numbers of {illuminant_name} and {degrees}° for a fluorescent cloth; its colour cannot "
            "be moved from one light to another, so give it for D65 and 2°"
        )
    try:
        seen = reflectance_from_xyz(xyz, light) @ weights(illuminant("D65"))
    except InvalidValue:
        raise InvalidValue(
            f"No reflecting surface has {_KINDS[kind]} {shown} under {illuminant_name}: check the numbers; "
            "a neon cloth fluoresces, and must be called fluorescent."
        ) from None
    moved = float(np.hypot(uncertainty, moving(illuminant_name)))
    return taken(from_lab(xyz_to_lab(seen), uncertainty=moved), how)


def moving(illuminant_name: str) -> float:
    """Return what it costs to bring a colour from a light to D65, root mean square ΔE00."""
    daylit = illuminant_name == "C" or illuminant_name.startswith("D")
    return FROM_DAYLIGHT if daylit else FROM_OTHER_LIGHT


def light_weights(illuminant_name: str, degrees: int) -> NDArray[np.float64]:
    """Return reflectance to XYZ, shape (81, 3), for a light and a standard observer.

    Raises
    ------
    ValueError
        If either is unknown.
    """
    if illuminant_name not in illuminant_names():
        raise InvalidValue(
            f"found illuminant '{illuminant_name}'; allowed are {', '.join(illuminant_names())}"
        )
    if degrees not in OBSERVERS:
        raise InvalidValue(f"found an observer of {degrees}°; allowed are 2 and 10")
    matching = observer() if degrees == 2 else _observer_1964()
    product = illuminant(illuminant_name)[:, None] * matching
    return np.asarray(product / product[:, 1].sum())


@cache
def _observer_1964() -> NDArray[np.float64]:
    """Colour matching functions of the CIE 1964 10° standard observer, shape (81, 3)."""
    table = read_table("observer_1964_10deg.csv")
    rows = on_grid(table["nm"])
    return np.stack([table[name][rows] for name in ("xbar", "ybar", "zbar")], axis=-1)


def from_name(text: str) -> Taken:
    """Return a swatch from a colour's name; what else bears the name is its uncertainty.

    An ISCC–NBS name is taken as the standard has it, any other as people mean it (`planner.swatch.called`).

    Raises
    ------
    ValueError
        If no colour is heard in it.
    """
    wanted = " ".join(text.lower().replace("-", " ").replace("gray", "grey").split())
    if wanted in names():
        index = names().index(wanted)
        lab = centroid_lab()[index]
        return taken(from_lab(lab, uncertainty=float(_name_spreads()[index])), f"the name {wanted}")
    found = colours_called(text)
    if not found:
        raise UnknownName(text, _EXAMPLES)
    first, *others = found
    lab, dulled = reachable(first.lab)
    colour = from_lab(lab, uncertainty=float(np.hypot(first.uncertainty, dulled)))
    how = f"the name {wanted}" if first.name == wanted else f"the name {wanted}, taken as {first.name}"
    meant = [(first.name, to_hex(lab_to_srgb(lab)[0])), *((one.name, one.hex) for one in others[:2])]
    found_so = taken(colour, how, notes=tuple(_remarks(text.strip(), first, meant, dulled)))
    return found_so if first.exact else replace(found_so, heard=tuple(meant))


def _remarks(
    text: str, first: Named, meant: Sequence[tuple[str, str]], dulled: float
) -> Iterator[str]:  # fmt: skip
    """Yield what a person should know of a name that was understood."""
    if not first.exact:
        (name, digits), *rest = meant
        same = sorted(name.split()) == sorted(text.lower().split())
        as_ = f"a guess ({digits})" if same else f"taken as {name} ({digits})"
        other = f" It may also be {' or '.join(f'{one} ({code})' for one, code in rest)}." if rest else ""
        yield f"{text} is {as_}: hold the patch beside the real thing.{other}"
    if first.left_out:
        yield f"Not understood: {', '.join(first.left_out)}."
    if first.neon:
        yield "Neon cloth fluoresces: call it fluorescent, since its colour then holds in daylight alone."
    if dulled >= _DULLED:
        yield "No ordinary cloth is that vivid: the nearest possible colour is used."


def reachable(lab: NDArray[np.float64]) -> tuple[NDArray[np.float64], float]:
    """Return the nearest colour of the same hue that a reflecting surface can have, and how far off it is.

    Parameters
    ----------
    lab : ndarray, shape (3,)
        CIELAB under D65.

    Returns
    -------
    tuple of ndarray, shape (3,), and float
        The colour, and ΔE00 from the one asked for; 0 where that can be had.
    """
    for share in np.linspace(1.0, 0.0, 41):
        # Towards a grey of middle lightness: near black and white every colour is out of reach.
        tried = np.array([50.0 + (0.5 + 0.5 * share) * (lab[0] - 50.0), share * lab[1], share * lab[2]])
        tried = lab if share == 1.0 else tried
        try:
            from_lab(tried)
        except InvalidValue:
            continue
        return tried, float(delta_e(lab, tried))
    raise InvalidValue(f"No surface comes near L* {lab[0]:.0f}, a* {lab[1]:.0f}, b* {lab[2]:.0f}.")


@cache
def _name_spreads() -> NDArray[np.float64]:
    """Root mean square ΔE00, from each name's centroid, of the colours that bear the name; shape (267,)."""
    lightness, ab = np.arange(8.0, 100.0, _LATTICE), np.arange(-100.0, 101.0, _LATTICE)
    lattice = np.stack(np.meshgrid(lightness, ab, ab, indexing="ij"), axis=-1).reshape(-1, 3)
    linear = xyz_to_linear(lab_to_xyz(lattice))
    # What dyed cloth reaches is about what a screen shows.
    lattice = lattice[((linear > 0) & (linear < 1)).all(axis=-1)]
    index = name_index(lattice)
    square = delta_e(lattice, centroid_lab()[index]) ** 2
    count = np.bincount(index, minlength=len(names()))
    total = np.bincount(index, weights=square, minlength=len(names()))
    spread = np.sqrt(total / np.maximum(count, 1))
    # A name that the nearest-centroid rule gives to nothing is as wide as names are.
    return np.where(count > 0, spread, np.median(spread[count > 0]))
