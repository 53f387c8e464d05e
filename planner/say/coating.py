"""What a sample card says of its coating: the films that fit, and which sample would tell more."""

from collections.abc import Sequence
from typing import Any

from planner.catalogue.fields import Entry
from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.coating import Fitted, Order, nearest_off
from planner.fitting.films import MATERIALS, films
from planner.fitting.foresee import LEAST_GAIN, Foreseen, Telling
from planner.fitting.sight import Sight
from planner.say.document import Document, Item, Part, Section, Sentence, document, section
from planner.say.names import counted

SCHEMA = "planner coating 1"


def coating_document(
    fitted: Fitted, foreseen: Sequence[Foreseen], telling: Sequence[Telling], *,
    saved: Sequence[Entry] | None = None, where: str = "",
) -> Document:  # fmt: skip
    """Return the films that fit a sample card.

    Parameters
    ----------
    fitted
        The films.
    foreseen
        What the coating makes of other stones.
    telling
        Further samples, the most telling first.
    saved, where
        The entries as they are kept, and a sentence on where.

    """
    off = [
        f"{one.placed.stone.name} ΔE00 {apart:.0f}"
        for one, apart in zip(fitted.samples, fitted.apart, strict=True)
        if apart is not None
    ]
    parts: list[Part | None] = [
        Sentence(_lead(fitted)),
        Section("", tuple(_order(place, one) for place, one in enumerate(fitted.orders, 1))),
        Sentence(f"The likeliest film misses your colours by: {', '.join(off)}.") if off else None,
        section("In even daylight it would make of", map(_foreseen, foreseen)),
        Section("Next", (Sentence(_next(telling)),)),
        Sentence(where) if where else None,
    ]
    return document("", parts, _data(fitted, foreseen, telling, saved))


def _lead(fitted: Fitted) -> str:
    seen = f"{counted(len(fitted.samples) + len(fitted.flashes), 'colour')} seen"
    if not fitted.fits:
        return (
            f"{seen}. None of {len(films().nm)} films of {len(MATERIALS)} materials gives just that: the "
            f"nearest is off by ΔE00 {nearest_off(fitted):.0f}. So your colours are taken as "
            f"{fitted.wider:.1f} "
            "times less certain than you said, and what follows is that much wider. The film may have "
            "several "
            "layers, or lie under the foil; or check that each stone is the one you named. The nearest:"
        )
    kinds = len(fitted.orders)
    which = "all much alike" if kinds == 1 else f"in {kinds} kinds"
    few = " A single sample leaves a lot open." if len(fitted.samples) == 1 else ""
    return f"{seen}. Of {len(films().nm)} films tried {len(fitted.kept)} fit, {which}.{few}"


def _order(place: int, one: Order) -> Item:
    like = f", or one like it ({', '.join(one.materials[1:])})" if len(one.materials) > 1 else ""
    low, high = one.range_nm
    share = "under 1" if one.share < 0.01 else f"{100 * one.share:.0f}"
    return Item(
        f"{share} in 100: {one.nm:.0f} nm of {one.material} ({low:.0f} to {high:.0f}){like}; "
        f"evenness {one.evenness:.1f} ± {one.evenness_spread:.1f}",
        str(place),
    )


def _foreseen(one: Foreseen) -> Sentence:
    hex_ = to_hex(lab_to_srgb(one.lab)[0])
    said = f"{one.placed.stone.name}: {name_of(one.lab)} ({hex_}), within ΔE00 {one.within:.0f}"
    return Sentence(said, hex=hex_)


def _next(telling: Sequence[Telling]) -> str:
    if not telling or telling[0].bits < LEAST_GAIN:
        return "No other stone would tell much more about the film."
    first, *rest = telling
    more = f", then {rest[0].placed.stone.name}" if rest and rest[0].bits >= LEAST_GAIN else ""
    return (
        f"To narrow it down, look at a sample on {first.placed.stone.name}{more}: that rules out all but "
        f"about one in {2**first.bits:.1f} of the films above."
    )


def sight_data(seen: Sight) -> dict[str, Any]:
    """Return a colour that a person saw."""
    return {
        "typed": seen.text, "source": seen.source, "lab": None if seen.lab is None else list(seen.lab),
        "family": seen.family, "error_dE00": seen.error,
    }  # fmt: skip


def _data(
    fitted: Fitted, foreseen: Sequence[Foreseen], telling: Sequence[Telling], saved: Sequence[Entry] | None
) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "samples": [
            {"stone": one.placed.stone.id, "size": one.placed.size, **sight_data(one.seen),
             "dE00_of_likeliest": apart}
            for one, apart in zip(fitted.samples, fitted.apart, strict=True)
        ],
        "flashes": [
            {"stone": one.placed.stone.id, "venue": one.venue.id, "family": one.family}
            for one in fitted.flashes
        ],
        "fits": fitted.fits,
        "errors_taken_wider": fitted.wider,
        "films_tried": len(fitted.films.nm),
        "films_left": len(fitted.kept),
        "kinds": [
            {"share": one.share, "material": one.material, "nm": one.nm, "range_nm": list(one.range_nm),
             "materials": list(one.materials), "optical_nm": one.optical,
             "optical_spread": one.optical_spread, "evenness": one.evenness,
             "evenness_spread": one.evenness_spread}
            for one in fitted.orders
        ],
        "foreseen": [
            {"stone": one.placed.stone.id, "size": one.placed.size, "lab": list(one.lab),
             "name": name_of(one.lab), "within_dE00": one.within}
            for one in foreseen
        ],
        "most_telling": [{"stone": one.placed.stone.id, "bits": one.bits} for one in telling[:5]],
        "saved": None if saved is None else [one.id for one in saved],
    }  # fmt: skip
