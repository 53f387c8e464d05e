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

# The hues that colourists speak of, by where their sector of IPT's hue ends. Borders lie where most people
# change the word (`planner.colour.everyday`; `tests/colour/test_words.py` prints where), brown and beige
# counted with orange and pink with red.
SECTORS: Final = (
    (40.0, "red"),
    (70.0, "orange"),
    (98.5, "yellow"),
    (182.5, "green"),
    (220.0, "teal"),
    (278.0, "blue"),
    (339.5, "purple"),
    (360.0, "red"),
)
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
_FAR: Final = 75.0
"""Degrees beyond which a turn is told by where it ends and no longer by a neighbour (our choice)."""


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
        said.append(
            _graded(float(np.hypot(chroma, hue)), _BECOMES[_hue(float(hue_angle(lab_to_ipt(lab_to))))])
        )
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
    h1, h2 = float(hue_angle(one)), float(hue_angle(two))
    turn = float(hue_difference(h1, h2))
    return _graded(float(delta_e_terms(*level)[2]), _hue_word(h1, h2, turn))


def _hue_word(h1: float, h2: float, turn: float) -> str:
    """Return the word for a turn of IPT's hue from `h1` to `h2`, 0 to 360."""
    own, end = _hue(h1), _hue(h2)
    if abs(turn) > _FAR and own != end:
        return _BECOMES[end]
    return _TOWARDS[own][turn > 0]


def _hue(angle: float) -> str:
    """Return which of the seven hues an angle of IPT, 0 to 360, belongs to."""
    return next(hue for end, hue in SECTORS if angle <= end)
