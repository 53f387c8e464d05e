"""Moving among colours by words: lighter, darker, greyer, more vivid, and round the hues.

A colour can be had if the screen shows it (what cannot be seen cannot be chosen by eye) and if
some cloth could have it.
"""

from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import lab_to_lch, lch_to_lab
from planner.colour.names import FAMILIES, family_of, family_swatch
from planner.colour.screen import lab_to_srgb, to_hex
from planner.refusal import InvalidValue
from planner.swatch.resolve import from_hex

Step = Literal["lighter", "darker", "greyer", "more vivid", "back", "on"]
"""`back` and `on` turn the hue towards the family before and after it."""

COARSE: Final[dict[Step, tuple[float, float, float]]] = {
    "lighter": (5.0, 0.0, 0.0), "darker": (-5.0, 0.0, 0.0), "greyer": (0.0, -6.0, 0.0),
    "more vivid": (0.0, 6.0, 0.0), "back": (0.0, 0.0, -8.0), "on": (0.0, 0.0, 8.0),
}  # fmt: skip
"""What a step adds to L*, C* and hue angle: plainly seen, and ten of them cross the range (our choice)."""

FINE: Final = 0.25
"""A small step, in parts of a whole one: about what the eye just sees side by side."""

CIRCLE: Final = FAMILIES[: FAMILIES.index("brown")]
"""Chromatic families in the order of hue."""

_GREY: Final = 1.0
"""C* below which nothing is left to take away."""


@dataclass(frozen=True)
class Tried:
    """A step, or why it cannot be taken."""

    lab: NDArray[np.float64]
    """(3,) the colour reached; the one before where the step cannot be taken."""
    complaint: str = ""


def fault(lab: NDArray[np.float64]) -> Literal["", "screen", "cloth"]:
    """Say whether the screen, or every cloth, lacks a colour (3,); empty if it can be had."""
    rgb, in_gamut = lab_to_srgb(lab)
    if not in_gamut:
        return "screen"
    try:
        from_hex(to_hex(rgb))
    except InvalidValue:
        return "cloth"
    return ""


@cache
def start(family: str) -> NDArray[np.float64]:
    """Return the colour (3,) that a family begins with: its most vivid one that can be had; read-only."""
    lightness, chroma, hue = lab_to_lch(family_swatch(family))
    lab = lch_to_lab(np.array([lightness, chroma, hue]))
    while fault(lab) and chroma > 0:
        chroma -= 2.0
        lab = lch_to_lab(np.array([lightness, max(chroma, 0.0), hue]))
    lab.setflags(write=False)
    return lab


def stepped(lab: NDArray[np.float64], step: Step, *, fine: bool = False) -> Tried:
    """Return the colour one step further, or why there is none."""
    lightness, chroma, hue = lab_to_lch(lab)
    dL, dC, dh = (FINE * part if fine else part for part in COARSE[step])
    if (step == "greyer" or dh) and chroma < _GREY:
        said = (
            "It is grey already."
            if step == "greyer"
            else "A grey has no hue to turn: make it more vivid first."
        )
        return Tried(lab, said)
    if (step == "darker" and lightness <= 0.5) or (step == "lighter" and lightness >= 99.5):
        return Tried(lab, f"It cannot be {step}: this is {'black' if step == 'darker' else 'white'}.")
    moved = np.array([np.clip(lightness + dL, 0.0, 100.0), max(0.0, chroma + dC), (hue + dh) % 360.0])
    found = lch_to_lab(moved)
    wrong = fault(found)
    return Tried(lab, _complaint(step, family_of(lab), wrong)) if wrong else Tried(found)


def _complaint(step: Step, family: str, wrong: Literal["screen", "cloth"]) -> str:
    if wrong == "cloth":
        return (
            f"No ordinary cloth can be that {family}: only a fluorescent one can, and that needs a measured "
            "spectrum."
        )
    match step:
        case "more vivid":
            return f"No screen shows a more vivid {family} than this: try lighter or darker first."
        case "greyer":
            return f"No screen shows that {family}."
        case "back" | "on":
            return "No screen shows that hue so vivid: make it greyer first."
        case _:
            return f"No screen shows so vivid a {family} any {step}: make it greyer first."


def neighbours(lab: NDArray[np.float64]) -> tuple[str, str]:
    """Return the families that a turn of hue leads towards, back and on."""
    family = family_of(lab)
    hue = float(lab_to_lch(lab)[2])
    if family in CIRCLE:
        at = CIRCLE.index(family)
    else:
        # Brown, olive, pink and the greys lie beside the circle: the nearest hue of it stands for them.
        apart = [
            abs((float(lab_to_lch(family_swatch(one))[2]) - hue + 180.0) % 360.0 - 180.0) for one in CIRCLE
        ]
        at = int(np.argmin(apart))
    return CIRCLE[at - 1], CIRCLE[(at + 1) % len(CIRCLE)]
