"""How one colour differs from another, in words: "lighter, much greener".

Each word is graded by what its term contributes to CIEDE2000, so that words and figure agree.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import hue_difference, hue_is_defined, lab_to_lch
from planner.colour.difference import delta_e_terms

# Our choice, in ΔE00 of one term: 1 is just visible side by side; from a stage nobody sees 1.5.
UNSAID_BELOW: Final = 1.5
SLIGHTLY_BELOW: Final = 4.0
MUCH_FROM: Final = 10.0

SAME: Final = "about the same"

# CIELAB hue angles of the elementary hues under D65, after the Natural Colour System (M. D.
# Fairchild, "Color Appearance Models", from memory); purple, which is none of them, is the median of
# the ISCC–NBS purples.
_HUES: Final = (
    (24.0, "redder"),
    (90.0, "yellower"),
    (162.0, "greener"),
    (246.0, "bluer"),
    (327.0, "more purple"),
)
# A move is named after what lies ahead at three quarters of its way: a purplish blue that turns teal
# becomes greener, one that turns pure blue becomes bluer.
_SEEN_FROM: Final = 0.75


def shift_words(lab_from: NDArray[np.float64], lab_to: NDArray[np.float64]) -> str:
    """Say how the second colour differs from the first.

    Lightness, hue and vividness are each "slightly" changed from 1.5 ΔE00, plainly from 4 and
    "much" from 10. The hue word is the elementary hue (or purple) ahead in the direction of the
    move. A grey has no hue to leave: it becomes "bluer", and a colour that fades to grey "duller".

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
    (_, c1, h1), (_, c2, h2) = lab_to_lch(lab_from), lab_to_lch(lab_to)
    said = [_graded(lightness, "lighter" if lightness > 0 else "darker")]
    if hue_is_defined(min(c1, c2)):
        turn = float(hue_difference(h1, h2))
        said.append(_graded(hue, _hue_ahead(h1 + _SEEN_FROM * turn, turn)))
        said.append(_graded(chroma, "more vivid" if chroma > 0 else "duller"))
    elif c2 > c1:
        # What separates a colour from a grey is one difference, whichever term holds it.
        said.append(_graded(float(np.hypot(chroma, hue)), _hue_nearest(h2)))
    else:
        said.append(_graded(float(np.hypot(chroma, hue)), "duller"))
    return ", ".join(word for word in said if word) or SAME


def _graded(term: float, word: str) -> str:
    size = abs(term)
    if size < UNSAID_BELOW:
        return ""
    if size < SLIGHTLY_BELOW:
        return f"slightly {word}"
    return f"much {word}" if size >= MUCH_FROM else word


def _hue_ahead(angle: float, turn: float) -> str:
    """Return the word for the first elementary hue ahead of an angle, in the direction of a turn."""
    forward = 1.0 if turn > 0 else -1.0
    return min(_HUES, key=lambda hue: (forward * (hue[0] - angle)) % 360.0)[1]


def _hue_nearest(angle: float) -> str:
    return min(_HUES, key=lambda hue: abs(float(hue_difference(hue[0], angle))))[1]
