"""What the colour of an uncoated stone says of its body."""

from collections.abc import Sequence
from typing import Any

from planner.catalogue.fields import Entry
from planner.colour.names import name_of
from planner.fitting.body import BodyFitted, Recipe
from planner.say.coating import sight_data
from planner.say.document import Document, Item, Section, Sentence, document

_UNSURE = 2.0
"""ΔE00 between bodies under warm lamps from which that is told."""


def body_document(fitted: BodyFitted, *, saved: Sequence[Entry] | None = None, where: str = "") -> Document:
    """Return the bodies that give an uncoated stone its colour.

    Parameters
    ----------
    fitted
        The bodies.
    saved, where
        The stone as it is kept, and a sentence on where.

    """
    unsure = fitted.unsure_when_warm
    return document(
        "",
        [
            Sentence(_lead(fitted)),
            Section("", tuple(_recipe(place, one) for place, one in enumerate(fitted.recipes, 1))),
            Sentence(
                f"These look alike in daylight, but differ under warm lamps by up to ΔE00 {unsure:.0f}: look "
                "at the stone under one to tell which it is."
            ) if unsure >= _UNSURE else None,
            Sentence(where) if where else None,
        ],
        _data(fitted, saved),
    )  # fmt: skip


def _lead(fitted: BodyFitted) -> str:
    error = fitted.seen.error
    if fitted.recipes[0].apart <= error:
        return "What could give the glass this colour, the likeliest first:"
    if fitted.fits:
        return (
            f"Nothing gives the glass quite this colour, but it is only known to ±{error:.0f}. The nearest, "
            "the likeliest first:"
        )
    return (
        "Nothing gives an uncoated stone of that glass, cut and foil this colour: check that it is uncoated, "
        "and check the white on the photograph. The nearest:"
    )


def _recipe(place: int, one: Recipe) -> Item:
    what = "a smooth absorption" if one.colourants is None else "clear"
    if one.colourants:
        (key, amount), *_ = one.colourants.items()
        what = f"{key} at {amount:g} (± {100 * one.spread:.0f} %)"
    return Item(f"{what}: off by ΔE00 {one.apart:.1f}; {name_of(one.warm)} under warm lamps", str(place))


def _data(fitted: BodyFitted, saved: Sequence[Entry] | None) -> dict[str, Any]:
    return {
        "schema": "planner stone 1",
        "seen": sight_data(fitted.seen),
        "fits": fitted.fits,
        "bodies": [
            {"colourants": None if one.colourants is None else dict(one.colourants),
             "colour": one.stone.colour, "dE00": one.apart,
             "concentration_spread": one.spread, "warm_lab": list(one.warm)}
            for one in fitted.recipes
        ],
        "unsure_under_warm_lamps_dE00": fitted.unsure_when_warm,
        "saved": None if saved is None else [one.id for one in saved],
    }  # fmt: skip
