"""The palette ranked beside a swatch: ids and figures in a row, words below it."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from planner.catalogue.pairing import pairing_name
from planner.reading.mix import Mix
from planner.reading.named import Asked
from planner.reading.phrase import listed, tenths, than
from planner.reading.places import FIRST, Place, are_varied
from planner.reading.verdict import in_brief
from planner.say.document import (
    Column,
    Document,
    Item,
    Part,
    Row,
    Section,
    Sentence,
    Table,
    document,
    section,
)
from planner.say.figures import ranked_data
from planner.say.question import asked_data, coating_id, read_again, understood
from planner.say.reading import invented

_WISHES = {"blend": "to blend in with", "tone": "tone on tone with", "contrast": "to stand out from"}
_LOOK = {"quick": "This is a quick look, at colour only.", "fine": "This looks at colour only."}
_VARIED = "So that you see other stones too, some of the first five stand before others that do better."
_FULL = "The full reading adds the sparkle, the warnings and how sure it is:"


def match_document(
    asked: Asked, found: Sequence[Place], top: int, bases: Iterable[tuple[str, str]],
    palettes: Path | None = None, mixed: Sequence[Mix] | None = None, *, hidden: bool = False,
) -> Document:  # fmt: skip
    """Return the best pairings.

    Parameters
    ----------
    asked
        What they are ranked for; its stone and coating are nobody's choice.
    found
        All of them, the best first.
    top
        How many to show.
    bases
        What was ranked, and where; each with its basis.
    palettes
        The folder that was read in place of the usual ones.
    mixed
        Stones mixed by share, the best first; None where nobody asked.
    hidden
        Whether the demo's are left out because the person hid them once.

    """
    question = asked.question
    inputs = asked_data(asked)
    # The stone that the question began with is nobody's choice.
    for name in ("stone", "coating", "millimetres"):
        del inputs[name]
    data = {
        "schema": "planner match 1",
        "inputs": inputs,
        "count": sum(1 + len(one.also) for one in found),
        "pairings": [
            {
                "rank": place,
                **ranked_data(one.first),
                "also": [coating_id(same.question) for same in one.also],
            }
            for place, one in enumerate(found[:top], 1)
        ],
    }
    if mixed is not None:
        data["mixes"] = [_mix_data(one) for one in mixed[:top]]
    if not found:
        none = Sentence("No pairing is left: leave out --material, --coated or --uncoated.")
        return Document("", (none,), data)
    lead = (
        f"The best {min(top, len(found))} of {len(found)}, {_WISHES[question.wish]} "
        f"{asked.swatch.name} in {question.venue.name}."
    )
    again = read_again(found[0].first.question, asked, palettes)
    in_full = Section("", (Sentence(f"{_LOOK[asked.grade]} {_FULL}"), again))
    together = None if mixed is None else _mixes(mixed[:top], question.distance)
    said = Sentence("The demo's stones are hidden; --all ranks them too.") if hidden else None
    heard = section("", understood(asked.remarks, asked.heard))
    varied = Sentence(_VARIED) if top >= FIRST and are_varied(found) else None
    ranked = ranking(found[:top])
    parts: list[Part | None] = [
        Sentence(lead), varied, heard, said, ranked, together, in_full, invented(bases)
    ]  # fmt: skip
    return document("", parts, data)


def ranking(found: Sequence[Place]) -> Table:
    """Return ranked pairings as a table."""
    return Table(
        (
            Column("    stone and coating, size", folds=True),
            Column("ΔE00", "right"),
            Column("batches that do"),
        ),
        tuple(_row(place, one) for place, one in enumerate(found, 1)),
    )


def _row(number: int, place: Place) -> Row:
    one = place.first
    question = one.question
    name = f"{number:>3} {pairing_name(question.stone, question.coating)}, {question.size}"
    said = f"{in_brief(question.wish, one.outcome)}: {one.seen.name}, {than(one.drift.words, 'your swatch')}"
    if one.film_alone:
        said += "; by its coating alone"
    if place.also:
        films = [same.question.coating.name if same.question.coating else "no film" for same in place.also]
        said += f"; also with {listed(films)}"
    return Row((name, f"{one.drift.dE00:.0f}", tenths(one.lots)), (Sentence(said),))


def _mixes(mixed: Sequence[Mix], distance: float) -> Section:
    """Return mixes, each with its parts and from where it is one colour."""
    if not mixed:
        return Section(
            "Mixed", (Sentence("No two or three stones mixed come much nearer than the best of them alone."),)
        )
    parts: list[Part] = [
        Sentence("Parts are by number of stones. Scatter them evenly: clumps show as patches.")
    ]
    for place, one in enumerate(mixed, 1):
        stones = " and ".join(
            f"{part} of {pairing_name(stone.question.stone, stone.question.coating)}, {stone.question.size}"
            for part, stone in zip(one.parts, one.stones, strict=True)
        )
        there = (
            "one colour from where it is seen"
            if one.one_from <= distance
            else (f"a pattern from where it is seen, one colour beyond {one.one_from:.0f} m")
        )
        said = f"{one.seen.name}, {than(one.drift.words, 'your swatch')}; {there}."
        parts.append(Item(f"{place} {stones}: {said}"))
    return Section("Mixed", tuple(parts))


def _mix_data(one: Mix) -> dict[str, object]:
    return {
        "stones": [
            {"parts": part, **ranked_data(stone)}
            for part, stone in zip(one.parts, one.stones, strict=True)
        ],
        "name": one.seen.name, "hex": one.seen.hex, "lab": list(one.seen.lab), "dE00": one.drift.dE00,
        "words": one.drift.words, "holds": one.holds, "one_colour_from_m": one.one_from,
    }  # fmt: skip
