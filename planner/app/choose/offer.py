"""What a way to choose has to offer."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from textual.message import Message

from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, parse_hex, srgb_to_lab, to_hex


@dataclass(frozen=True)
class Offer:
    """A colour that can be taken."""

    value: str
    """What the screen is left with: a swatch's id, or "#rrggbb"; or a name, which is `named`."""
    title: str
    """Its own name; its ISCC-NBS name where it has none."""
    called: str
    """Its ISCC-NBS name; the hex where that stands in the title."""
    hex: str
    """The nearest colour on a screen."""
    lab: tuple[float, float, float]
    remark: str = ""
    around: tuple[tuple[str, ...], ...] = ()
    """Rows of "#rrggbb" of what the colour may be instead, itself in the middle; none if it is known."""
    said: tuple[str, ...] = ()
    """What else there is to say of it, one sentence each."""


class Offered(Message):
    """A way has something else to offer, or nothing and a sentence why."""

    def __init__(self, way: str, offer: Offer | None, complaint: str = "") -> None:
        super().__init__()
        self.way, self.offer, self.complaint = way, offer, complaint


def offer_of(value: str, title: str, lab: NDArray[np.float64], remark: str = "") -> Offer:
    """Return the offer of a CIELAB colour (3,) that has a name of its own."""
    rgb, _ = lab_to_srgb(lab)
    return Offer(value, title, name_of(lab), to_hex(rgb), _three(lab), remark)


def offer_of_hex(text: str, remark: str = "") -> Offer:
    """Return the offer of a screen colour; ValueError if it is none."""
    rgb = parse_hex(text)
    lab, digits = srgb_to_lab(rgb), to_hex(rgb)
    return Offer(digits, name_of(lab), digits, digits, _three(lab), remark)


def _three(lab: NDArray[np.float64]) -> tuple[float, float, float]:
    return float(lab[0]), float(lab[1]), float(lab[2])


_NAMED = "called "


def named(name: str) -> str:
    """Return the value of a colour that was told by its name."""
    return f"{_NAMED}{name}"


def name_in(value: str) -> str | None:
    """Return the name that a value tells; None for an id or "#rrggbb"."""
    return value.removeprefix(_NAMED) if value.startswith(_NAMED) else None
