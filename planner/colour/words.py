"""How one colour differs from another, in words: "lighter, much greener".

Each word is graded by what its term contributes to CIEDE2000. A turn of hue is taken in IPT: in CIELAB a
blue that only becomes more vivid seems to turn violet by a dozen degrees, and nobody sees that.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import hue_difference, hue_is_defined, lab_to_lch
from planner.colour.difference import delta_e_terms
from planner.colour.ipt import hue_angle, ipt_to_lab, lab_to_ipt

# Our choice, in ΔE00 of one term: 1 is just visible side by side; from a stage nobody sees 1.5.
UNSAID_BELOW: Final = 1.5
SLIGHTLY_BELOW: Final = 4.0
MUCH_FROM: Final = 10.0

SAME: Final = "about the same"

# The hues that colourists speak of, by where their sector of CIELAB hue h under D65 ends. Borders lie where
# most people change the word (`planner.colour.everyday`; `tests/colour/test_words.py` prints where), brown
# and beige counted with orange and pink with red.
SECTORS: Final = (
    (42.0, "red"),
    (75.0, "orange"),
    (105.0, "yellow"),
    (178.0, "green"),
    (222.0, "teal"),
    (305.0, "blue"),
    (338.0, "purple"),
    (360.0, "red"),
)
BLUE_TO: Final = 278.0
"""Where blue ends and purple begins in IPT's hue: CIELAB's 305 holds for dull blues alone."""
# A hue turns towards one of its two neighbours: as h falls, as h grows. A blue is never "bluer".
_TOWARDS: Final = {
    "red": ("bluer", "yellower"),
    "orange": ("redder", "yellower"),
    "yellow": ("redder", "greener"),
    "green": ("yellower", "bluer"),
    "teal": ("greener", "bluer"),
    "blue": ("greener", "more violet"),
    "purple": ("bluer", "redder"),
}
# What a grey becomes, and what turns right across the circle.
_BECOMES: Final = {
    "red": "redder", "orange": "more orange", "yellow": "yellower", "green": "greener", "teal": "greener",
    "blue": "bluer", "purple": "more purple",
}  # fmt: skip
_NEARLY_GREY: Final = 8.0
"""C* below which nobody speaks of the hue of what was three times as vivid: it is duller (our choice)."""
_FAR: Final = 90.0
"""Degrees of IPT beyond which a turn is told by where it ends and no longer by a neighbour (our choice)."""


def shift_words(lab_from: NDArray[np.float64], lab_to: NDArray[np.float64]) -> str:
    """Say how the second colour differs from the first.

    Lightness, hue and vividness are each "slightly" changed from 1.5 ΔE00, plainly from 4 and
    "much" from 10. A turn of hue is told by the neighbouring hues of the first colour's own, as
    colourists do: a blue turns greener or redder, a green yellower or bluer, never more of itself. A grey
    has no hue to leave: it becomes "bluer", and a colour that fades to grey "duller".

    Parameters
    ----------
    lab_from, lab_to : ndarray, shape (3,)
        CIELAB under D65.

    Returns
    -------
    str
        Such as "slightly darker, much greener, duller", or `SAME`.
    """
    lightness, chroma, hue = delta_e_terms(lab_from, lab_to)
    (_, c1, _), (_, c2, _) = lab_to_lch(lab_from), lab_to_lch(lab_to)
    said = [_graded(lightness, "lighter" if lightness > 0 else "darker")]
    if not _faded(min(float(c1), float(c2)), max(float(c1), float(c2))):
        said.append(_turned(lab_from, lab_to))
        said.append(_graded(chroma, "more vivid" if chroma > 0 else "duller"))
    elif c2 > c1:
        # What separates a colour from a grey is one difference, whichever term holds it.
        said.append(_graded(float(np.hypot(chroma, hue)), _BECOMES[_hue(lab_to)]))
    else:
        said.append(_graded(float(np.hypot(chroma, hue)), "duller"))
    return ", ".join(word for word in said if word) or SAME


def _faded(less: float, more: float) -> bool:
    """Return whether of two chromas the lesser is as good as grey beside the other."""
    return not bool(hue_is_defined(less)) or (less < _NEARLY_GREY and 3.0 * less < more)


def _graded(term: float, word: str) -> str:
    size = abs(term)
    if size < UNSAID_BELOW:
        return ""
    if size < SLIGHTLY_BELOW:
        return f"slightly {word}"
    return f"much {word}" if size >= MUCH_FROM else word


def _turned(lab_from: NDArray[np.float64], lab_to: NDArray[np.float64]) -> str:
    """Return the graded word for the turn of hue between two colours.

    Both are brought to one lightness and one chroma of IPT, halfway, each with its hue as it is seen. What
    CIEDE2000 then finds between them is hue alone.
    """
    one, two = lab_to_ipt(lab_from), lab_to_ipt(lab_to)
    halfway = np.sqrt(np.hypot(*one[1:]) * np.hypot(*two[1:]))
    level = [
        ipt_to_lab(np.array([(one[0] + two[0]) / 2, *(halfway / np.hypot(*each[1:]) * each[1:])]))
        for each in (one, two)
    ]
    turn = float(hue_difference(hue_angle(one), hue_angle(two)))
    own, end = _hue(lab_from), _hue(lab_to)
    word = _BECOMES[end] if abs(turn) > _FAR and own != end else _TOWARDS[own][turn > 0]
    return _graded(float(delta_e_terms(*level)[2]), word)


def _hue(lab: NDArray[np.float64]) -> str:
    """Return which of the seven hues a colour (3,) has."""
    angle = float(lab_to_lch(lab)[2])
    found = next(hue for end, hue in SECTORS if angle <= end)
    if found in ("blue", "purple"):
        return "blue" if hue_angle(lab_to_ipt(lab)) <= BLUE_TO else "purple"
    return found
