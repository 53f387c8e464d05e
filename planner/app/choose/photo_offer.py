"""What a photograph has to offer: its colour, those that it may be instead, and what it can decide."""

from planner.app.choose.offer import Offer
from planner.app.photo.reading import decides, neighbours
from planner.colour.names import capped, name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.swatch.resolve import TYPED_UNCERTAINTY
from planner.swatch.taken import Taken


def offer_of_photo(swatch: Taken, *, keeps: bool) -> Offer:
    """Return what the swatch screen shows and takes; `keeps` is whether it can be kept as a swatch."""
    lab = capped(swatch.colour.lab)[0]
    rgb, shown = lab_to_srgb(swatch.colour.lab)
    around = neighbours(swatch)
    name, digits = name_of(lab), to_hex(rgb)
    others = dict.fromkeys(name_of(capped(one)[0]) for one in around.reshape(-1, 3))
    others.pop(name, None)
    said = [
        *([f"It could equally be {_either(list(others))}."] if others else []),
        decides(swatch),
        *swatch.notes,
        *([] if keeps else [f"Taken as a plain colour, it counts as known to ±{TYPED_UNCERTAINTY:g}."]),
        *([] if shown else ["A screen cannot show this colour: go by its name and figures."]),
    ]
    lightness, a, b = (float(part) for part in swatch.colour.lab)
    return Offer(
        digits, name.capitalize(), digits, digits, (lightness, a, b),
        f"known to ±{swatch.colour.uncertainty:.1f}, nine times in ten within {swatch.half_width:.1f}",
        tuple(tuple(to_hex(one) for one in row) for row in lab_to_srgb(around)[0]), tuple(said),
    )  # fmt: skip


def _either(names: list[str]) -> str:
    """Return names as "one, another or a third"."""
    return " or ".join([", ".join(names[:-1]), names[-1]] if names[1:] else names)
