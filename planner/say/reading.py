"""One reading: words first, then warnings and what to do, figures after."""

import dataclasses
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from planner.assess import Assessed
from planner.catalogue.pairing import pairing_name
from planner.fitting.record import Track
from planner.reading.instead import Instead
from planner.reading.leeway import leeway
from planner.reading.named import Asked
from planner.reading.origin import origins
from planner.reading.phrase import changed, listed, than
from planner.reading.question import Question
from planner.reading.read import Reading
from planner.reading.sentence import by_the_window, cannot_tell, figures, sentence
from planner.say.document import (
    Command,
    Document,
    Item,
    Literally,
    Part,
    Patch,
    Patches,
    Section,
    Sentence,
    Way,
    document,
    section,
)
from planner.say.figures import bases, instead_data, reading_data
from planner.say.question import (
    asked_data,
    coating_id,
    next_steps,
    rank_all,
    read_again,
    understood,
)
from planner.say.warned import concern_parts, concerns_data

_SHOWS = "What is invented is there to show how to choose: do not order by it."
_WISHES = {"blend": "to blend in with", "tone": "tone on tone with", "contrast": "to stand out from"}
NOTHING_BETTER = "Nothing in your palettes does it better."
NOTHING_DOES = "Nothing in your palettes does what you want. The nearest:"
"""Said before the one pairing that comes nearest, where none does."""
FLASHING = "Light flashes in it: before you send it, warn anyone whom flashing light could harm."
"""Said wherever a picture moves."""


def reading_document(
    asked: Asked, found: Assessed, others: tuple[Instead, ...] | None, *, picture: Path | None = None,
    film: Path | None = None, palettes: Path | None = None,
) -> Document:  # fmt: skip
    """Return one pairing, read.

    Parameters
    ----------
    asked, found
        The question and its answer.
    others
        What to order instead; None where nothing calls for it.
    picture, film
        Where it was drawn, still and as it turns.
    palettes
        The folder that was read in place of the usual ones.

    """
    reading, notes = found.reading, _notes(asked, found)
    return document(_title(asked), [
        *_answer(asked, found),
        None if others is None else Section("Instead", _instead(others)),
        Section("Swatch and cloth", tuple(map(Item, origins(reading)))),
        Section("Figures", tuple(map(Item, _figures(reading)))),
        section("", [_basis(asked.question)]),
        track(found.record.track),
        None if picture is None else Sentence(f"Picture: {picture}"),
        None if film is None else Sentence(f"Moving picture: {film}. {FLASHING}"),
        next_steps(*_next(asked, others, palettes)),
    ], {
        "schema": "planner reading 1",
        "inputs": asked_data(asked),
        **reading_data(reading),
        "leeway": _leeway_data(reading),
        "warnings": concerns_data(found.concerns),
        "instead": [instead_data(one) for one in others or ()],
        "notes": list(notes),
        "track_record": track_data(found.record.track),
        "basis": bases(asked.question),
        "picture": None if picture is None else str(picture),
        "film": None if film is None else str(film),
    })  # fmt: skip


def title_document(asked: Asked) -> Document:
    """Return what was asked, with which `reading_document` begins."""
    return document(_title(asked), [])


def answer_document(asked: Asked, found: Assessed) -> Document:
    """Return what `reading_document` begins with, which needs no look through the palette."""
    return document(_title(asked), _answer(asked, found))


def _answer(asked: Asked, found: Assessed) -> list[Part | None]:
    reading = found.reading
    first, *unsure = words(reading)
    patches = Patches((Patch("swatch", reading.swatch.hex), Patch("stone", reading.seen.hex)))
    room = leeway(reading)
    way = () if room is None else (Way(room),)
    return [
        Section("", (patches, *way, first, Sentence(by_the_window(reading)))),
        *unsure,
        section("", understood(_notes(asked, found), asked.heard)),
        Section("Warnings", concern_parts(found.concerns, nothing="None.")),
    ]


def _notes(asked: Asked, found: Assessed) -> tuple[str, ...]:
    return (*asked.remarks, *not_offered(asked.question), *found.record.notes)


def words(reading: Reading) -> tuple[Sentence, ...]:
    """Return what a pairing reads as, and where that cannot be told, why."""
    unsure = cannot_tell(reading)
    return (Sentence(sentence(reading)), *([Sentence(unsure)] if unsure else ()))


def notes_parts(found: Iterable[str]) -> tuple[Sentence, ...]:
    """Return what is to be noted beside a reading."""
    return tuple(Sentence(f"Note: {one}") for one in found)


def not_offered(question: Question) -> tuple[str, ...]:
    """Return a note where the stone is not sold in the size asked for."""
    stone, size = question.stone, question.size
    if size in stone.sizes:
        return ()
    offered = ", ".join(stone.sizes)
    return (f"{stone.name} comes in {offered}; you may not find it in {size}.",)


def invented(found: Iterable[tuple[str, str | None]]) -> Sentence | None:
    """Return what must be said wherever something invented takes part; nothing where nothing is.

    `found` has all that takes part: what it is, such as "venue", and its basis. Only the invented is named.
    """
    what = list(dict.fromkeys(f"the {one}" for one, basis in found if basis == "invented"))
    if not what:
        return None
    names = listed(what)
    if len(what) == 1 and not names.endswith("s"):
        said = "is invented, to show how to choose: do not order by it."
    else:
        said = "are invented, to show how to choose: do not order by them."
    return Sentence(f"{names[:1].upper()}{names[1:]} {said}")


def track(record: Track | None) -> Sentence | None:
    """Return how far predictions of a kind were off; nothing where there was none."""
    return None if record is None else Sentence(record.said)


def track_data(record: Track | None) -> dict[str, Any] | None:
    """Return how far predictions of a kind were off, in figures."""
    return None if record is None else dataclasses.asdict(record)


def _title(asked: Asked) -> str:
    """Return what is read: the pairing, its size, its wish, where it is seen."""
    question = asked.question
    on = "" if asked.cloth is asked.swatch else f", on {asked.cloth.name}"
    return (
        f"{pairing_name(question.stone, question.coating)}, {question.size}, {_WISHES[question.wish]} "
        f"{asked.swatch.name}{on}, seen from {question.distance:g} m in {question.venue.name}"
    )


def _instead(others: tuple[Instead, ...]) -> tuple[Part, ...]:
    if not others:
        return (Sentence(NOTHING_BETTER),)
    lead = () if others[0].fits else (Sentence(NOTHING_DOES),)
    return (*lead, *(_other(place, one) for place, one in enumerate(others, 1)))


def _other(place: int, other: Instead) -> Item:
    question, drift = other.reading.question, other.reading.drift
    gives_up = "".join(f" {one}" for one in other.gives_up)
    severe = [one.text for one in other.concerns if one.severity == "severe"]
    warned = f" But {severe[0][:1].lower()}{severe[0][1:]}" if severe else ""
    if severe and changed(drift.words) in severe[0]:
        warned = " But it does not match either."
    ids = f"--stone {question.stone.id} --coating {coating_id(question)} --size {question.size}"
    return Item(
        f"{pairing_name(question.stone, question.coating)}, {question.size}: {other.reading.seen.name}, "
        f"{than(drift.words, 'your swatch')}.{gives_up}{warned}",
        str(place),
        (Literally(ids),),
    )


def _leeway_data(reading: Reading) -> dict[str, Any] | None:
    """Return how far one could go from the swatch, in parts of the way that is shown."""
    found = leeway(reading)
    return None if found is None else dataclasses.asdict(found)


def _figures(reading: Reading) -> list[str]:
    """Return the figures behind the words, and how far off stones and cloth merge."""
    said = [part.strip() for part in figures(reading).removesuffix(".").split(";")]
    return [one for one in (*said, _sparkle(reading), _field(reading)) if one]


def _sparkle(reading: Reading) -> str:
    found = reading.sparkle
    if found is None or reading.flash is None:
        return ""
    much = f"{abs(found.brighter_stops):.1f} stops {'brighter' if found.brighter_stops >= 0 else 'dimmer'}"
    where = "" if reading.lamp_eye is None else f" (lamp and eye are {reading.lamp_eye:.0f}° apart)"
    return (
        f"a sparkle is {found.stops:.1f} stops brighter than the glow{where}; beside clear crystal of this "
        f"cut there are {found.number_ratio:.1f} × as many, {much}"
    )


def _field(reading: Reading) -> str:
    field = reading.field
    if reading.question.cover == 0.0 or not reading.question.cloth_told:
        return ""
    hue = "you can no longer tell blue from green"
    if field.merge_m == 0.0:
        return f"stones and cloth are equally light; beyond {field.merge_hue_m:.1f} m {hue}"
    stones = f"beyond {field.merge_m:.0f} m you no longer see single stones"
    return f"{stones}, and beyond {field.merge_hue_m:.1f} m {hue}"


def _basis(question: Question) -> Sentence:
    """Return the label that belongs to every answer: where its numbers come from."""
    found = bases(question)
    if question.cloth is question.swatch:
        del found["cloth"]
    kinds = {
        word: [what for what, one in found.items() if one == word]
        for word in ("invented", "estimated", "measured")
    }
    said = f"Basis: {'; '.join(f'{listed(what)} {word}' for word, what in kinds.items() if what)}."
    return Sentence(f"{said} {_SHOWS}" if kinds["invented"] else said)


def _next(asked: Asked, others: tuple[Instead, ...] | None, palettes: Path | None) -> list[Part]:
    """Return what to type next: the best alternative in full, then the whole palette."""
    said: list[Part] = []
    if others:
        first = others[0].reading.question
        said += [Sentence("Read the first of those in full:"), read_again(first, asked, palettes)]
    if asked.question.swatch_told:
        said += [Sentence("Rank the whole palette for this swatch:"), rank_all(asked, palettes)]
    listing = Command("list stones", {"--palettes": palettes})
    said += [Sentence("See what there is to choose from:"), listing]
    return [*said, Sentence("Choose by pictures, on the screen:"), Literally("planner")]
