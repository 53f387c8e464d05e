"""A swatch from a photograph with white paper, or a grey card, in it.

The paper says how the light was coloured and how strong; the cloth is brought to daylight by it. What
remains unsure is reckoned from the scatter of the cloth, the evenness of the light, the paper and the
camera (`planner.swatch.photo_error`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.adaptation import adaptation_matrix
from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.difference import delta_e
from planner.refusal import InvalidValue
from planner.swatch.photo_area import Patch, look
from planner.swatch.photo_areas import propose
from planner.swatch.photo_error import Light, camera_covariance, card, paper, said_of
from planner.swatch.photo_file import Area, Picture
from planner.swatch.resolve import from_lab
from planner.swatch.spread import rms
from planner.swatch.taken import Taken, taken

# Our choices. Shares of pixels at the top or bottom of a channel; logarithms of luminance.
MOST_BURNT_WHITE: Final = 0.05
MOST_BURNT_CLOTH: Final = 0.25
MUCH_OUT_OF_GAMUT: Final = 0.2
UNEVEN: Final = 0.15
VERY_UNEVEN: Final = 0.6
MIXED: Final = 3.0
VERY_MIXED: Final = 9.0
DARK_WHITE: Final = 0.08
_BRIGHTEST: Final = 1.08
# C* by which a colour may be off where the picture could not hold it.
_OUT_OF_GAMUT_CHROMA: Final = 8.0
# Folds and shades of a cloth run over much of it: its cells count as so many independent ones.
_INDEPENDENT: Final = 4.0
_DISAGREE: Final = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class Photographed:
    """A swatch as one photograph shows it."""

    swatch: Taken
    """Its colour and all of its uncertainty."""

    own: NDArray[np.float64]
    """Covariance that another photograph would draw anew: scatter and light, shape (3, 3)."""

    common: NDArray[np.float64]
    """Covariance that photographs by one camera with one paper share, shape (3, 3)."""

    cloth: Area
    """Where the cloth was read."""

    white: Area
    """Where the white reference was read."""

    @property
    def lab(self) -> NDArray[np.float64]:
        """CIELAB under D65, shape (3,)."""
        return self.swatch.colour.lab


def measure(
    picture: Picture, *, cloth: Area | None = None, white: Area | None = None, grey: float | None = None,
    light: Light = "unknown", fluorescent: bool = False,
) -> Photographed:  # fmt: skip
    """Return the colour of the cloth on a photograph.

    Parameters
    ----------
    picture : Picture
    cloth, white : Area, optional
        Where cloth and white reference are; proposed by `planner.swatch.photo_areas` where not given.
    grey : float, optional
        Reflectance of a neutral card, 0 to 1, that stands in for white paper.
    light : str
        "daylight", "lamps" or "unknown".
    fluorescent : bool
        Whether the cloth is neon.

    Raises
    ------
    ValueError
        With the reason, if the photograph cannot say: white or cloth burnt out, white darker than the
        cloth, light very uneven or mixed, an area too small or outside the picture.
    """
    if cloth is None or white is None:
        proposed = propose(picture)
        cloth, white = cloth or proposed[0], white or proposed[1]
    on_cloth, on_white = look(picture, cloth, "cloth"), look(picture, white, "white")
    what = "white paper" if grey is None else "grey card"
    notes = [*picture.notes, *light_notes(on_cloth, on_white, what)]
    reference, reference_cov = paper(light) if grey is None else card(grey)
    slope, doubt = _level(on_cloth, on_white)
    ratio = on_cloth.xyz * np.exp(-slope)
    lab, jacobian = by_white(ratio, on_white.xyz, reference)
    if lab_to_xyz(lab)[1] > _BRIGHTEST and not fluorescent:
        raise InvalidValue(
            f"the {what} is darker than the cloth (L* would be {lab[0]:.0f}); mark the {what}, in the same "
            "light as the cloth, or call the cloth fluorescent"
        )
    own = on_cloth.scatter / _INDEPENDENT
    own[0, 0] += ((lab[0] + 16.0) / 3.0 * doubt) ** 2
    common = camera_covariance(lab, light) + jacobian @ reference_cov @ jacobian.T
    if on_cloth.empty > MUCH_OUT_OF_GAMUT:
        notes.append(
            "The cloth is more vivid than the picture can hold; it may be more vivid than this reading."
        )
        common = common + np.diag([1.0, _OUT_OF_GAMUT_CHROMA, _OUT_OF_GAMUT_CHROMA]) ** 2 / 2
    how = f"photographed {said_of(light)} beside {what}"
    swatch = _swatch(lab, how, own + common, tuple(notes), fluorescent)
    return Photographed(swatch, own, common, cloth, white)


def by_white(
    xyz: NDArray[np.float64], white: NDArray[np.float64], reference: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return CIELAB in daylight, shape (3,), and how it moves with the reference's, shape (3, 3).

    Parameters
    ----------
    xyz, white : ndarray, shape (3,)
        What the picture shows of a thing and of the white reference, in the same light.
    reference : ndarray, shape (3,)
        CIELAB of the reference in daylight.
    """
    lab = xyz_to_lab(xyz @ adaptation_matrix(white, lab_to_xyz(reference)))
    # By finite differences.
    moved = [xyz_to_lab(xyz @ adaptation_matrix(white, lab_to_xyz(reference + step))) for step in np.eye(3)]
    return lab, np.stack(moved, axis=1) - lab[:, None]


def _swatch(
    lab: NDArray[np.float64], how: str, covariance: NDArray[np.float64], notes: tuple[str, ...],
    fluorescent: bool,
) -> Taken:  # fmt: skip
    lab = np.array([min(max(lab[0], 0.0), 100.0), lab[1], lab[2]])
    unsure = rms(lab, covariance)
    try:
        colour = from_lab(lab, uncertainty=unsure, fluorescent=fluorescent)
    except InvalidValue:
        # A reading just beyond what surfaces reach is the camera's error: the nearest surface colour.
        colour = from_lab(_reachable(lab, unsure), uncertainty=unsure)
        notes = (*notes, "No cloth has quite this colour; the nearest possible is used.")
    return taken(colour, how, covariance, notes)


def _reachable(lab: NDArray[np.float64], unsure: float) -> NDArray[np.float64]:
    """Return the most vivid colour of this hue and lightness that a surface has, within the uncertainty."""
    for share in np.linspace(0.98, 0.5, 25):
        nearer = lab * [1.0, share, share]
        try:
            from_lab(nearer)
        except InvalidValue:
            continue
        if delta_e(nearer, lab) <= 2 * unsure:
            return nearer
        break
    raise InvalidValue(
        "no reflecting surface has the colour on the picture; a neon cloth must be called fluorescent, and "
        "any other marked again"
    )


def light_notes(on_cloth: Patch, on_white: Patch, what: str) -> list[str]:
    """Return warnings of the light; refuse what cannot be read. The white may stand for the cloth too."""
    if on_white.burnt > MOST_BURNT_WHITE:
        raise InvalidValue(
            f"the {what} is burnt out ({100 * on_white.burnt:.0f} % of it at the top of the scale), so it "
            "cannot say what the light was; take the photograph again a little darker, or mark the "
            f"{what} if it lies elsewhere"
        )
    if on_cloth.burnt > MOST_BURNT_CLOTH:
        raise InvalidValue(
            f"the cloth is burnt out ({100 * on_cloth.burnt:.0f} % of it at the top of the scale); take the "
            "photograph again a little darker, turned away from the shine"
        )
    if on_white.xyz[1] < DARK_WHITE and what == "white paper":
        raise InvalidValue("the white paper is nearly black on the picture; take it again, lighter")
    notes = []
    uneven = max(on_cloth.fall, on_white.fall)
    if uneven > VERY_UNEVEN:
        raise InvalidValue(
            f"the light is very uneven (it falls by {100 * (1 - np.exp(-uneven)):.0f} % across the cloth or "
            f"the {what}); lay both flat, side by side, in soft light"
        )
    if uneven > UNEVEN:
        notes.append(
            f"The light is uneven (it falls by {100 * (1 - np.exp(-uneven)):.0f} % across); the reading's "
            "lightness is less sure."
        )
    if on_white.turn > VERY_MIXED:
        raise InvalidValue(
            f"the {what} is lit by two kinds of light (its colour turns by {on_white.turn:.0f} in CIELAB "
            "from side to side); switch one off or draw the curtain"
        )
    if on_white.turn > MIXED:
        notes.append(
            f"The {what} is lit by light of two colours (it turns by {on_white.turn:.0f} in CIELAB from side "
            "to side); one light alone is surer."
        )
    return notes


def _level(on_cloth: Patch, on_white: Patch) -> tuple[float, float]:
    """Return by how much lighter the cloth's place is lit than the white's, logarithm, and its sd.

    The light is taken to fall off between the two as it does, in the mean, across both.
    """
    way = on_cloth.centre - on_white.centre
    slopes = np.array([on_cloth.slope @ way, on_white.slope @ way])
    # Folds make slopes that are not the light's, so the white, which lies flat, counts more.
    mean = float(np.clip(slopes @ [0.25, 0.75], -0.5, 0.5))
    return mean, abs(mean) / 2 + min(abs(float(slopes[0] - slopes[1])) / 4, 0.1) + 0.01


def combine(photographs: Sequence[Photographed]) -> Taken:
    """Return the colour that two or more photographs of one cloth show together.

    Each counts by how sure it is. What scatters from one to the next averages out; what camera and
    paper have in common does not. Photographs that disagree by more than they should widen the result.

    Raises
    ------
    ValueError
        If there are none.
    """
    if not photographs:
        raise InvalidValue("found no photograph; at least one is needed")
    if len(photographs) == 1:
        return photographs[0].swatch
    labs = np.array([one.lab for one in photographs])
    own = np.array([one.own for one in photographs])
    common = np.mean([one.common for one in photographs], axis=0)
    certain = np.linalg.inv(own + common)
    shares = np.linalg.inv(certain.sum(axis=0)) @ certain
    lab = np.einsum("nij,nj->i", shares, labs)
    spread = np.einsum("nij,njk,nlk->il", shares, own, shares)
    apart = labs - lab
    seen = apart.T @ apart / (len(labs) - 1) / len(labs)
    disagree = float(delta_e(labs, lab).max()) > _DISAGREE * rms(lab, own.mean(axis=0) + common)
    notes = dict.fromkeys(note for one in photographs for note in one.swatch.notes)
    if disagree:
        notes["The photographs disagree more than they should: look at them again."] = None
    first = photographs[0].swatch
    how = f"{len(labs)} photographs, {first.how}"
    return _swatch(lab, how, spread + seen + common, tuple(notes), first.colour.fluorescent)
