"""One full reading, for ``planner try``."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from planner.catalogue.palette import Palette
from planner.cli import as_json, telling, text
from planner.cli.arriving import track_data, track_told
from planner.cli.ask import GRADES, Asked, asked_for, not_offered, palette_of
from planner.cli.drawing import check_place, draw
from planner.cli.guard import plain
from planner.cli.next_step import command, pairing_options, same_match
from planner.fitting.record import Remembered, remembered
from planner.reading.instead import Instead, instead
from planner.reading.question import Question
from planner.reading.read import Reading, read
from planner.reading.sentence import pairing
from planner.reading.warn import Concern, warnings

_WISHES = {"blend": "to blend in with", "tone": "to be tone on tone with", "contrast": "to stand out from"}


def show(*, picture: Path | None, palettes: Path | None, as_data: bool, **given: Any) -> None:
    """Print one reading, and draw it if asked."""
    if picture is not None:
        check_place(picture)
    palette = palette_of(palettes)
    asked = asked_for(palette, **given)
    reading = read(asked.question, GRADES[asked.grade])
    found = warnings(reading)
    others = alternatives(palette, reading, found)
    record = remembered(asked.question.stone, asked.question.coating)
    if picture is not None:
        draw(reading, picture)
    if as_data:
        click.echo(as_json.dumps(_data(asked, reading, found, others, record, picture)))
    else:
        click.echo(_told(asked, reading, found, others, record, picture, palettes))


def alternatives(palette: Palette, reading: Reading, found: Sequence[Concern]) -> tuple[Instead, ...] | None:
    """Return what to order instead, or None where nothing warned of calls for it."""
    if all(one.severity == "note" for one in found) or not reading.question.swatch_told:
        return None
    return instead(palette, reading)


def _data(
    asked: Asked, reading: Reading, found: Sequence[Concern], others: tuple[Instead, ...] | None,
    record: Remembered, picture: Path | None,
) -> dict[str, Any]:  # fmt: skip
    return {
        "schema": "planner reading 1",
        "inputs": as_json.inputs(asked),
        **as_json.answer(reading),
        "warnings": as_json.concerns([(one, None) for one in found]),
        "instead": [as_json.alternative(one) for one in others or ()],
        "notes": [*not_offered(asked.question), *record.notes],
        "track_record": track_data(record.track),
        "basis": as_json.basis(asked.question),
        "picture": None if picture is None else str(picture),
    }


def title(reading: Reading, swatch: str, cloth: str | None) -> str:
    """Return what is read: the pairing, its size, its wish, where it is seen."""
    question = reading.question
    on = "" if cloth is None else f", on {cloth}"
    return (
        f"{pairing(reading)}, {question.size}, {_WISHES[question.wish]} {swatch}{on}, seen from "
        f"{question.distance:g} m in {question.venue.name}"
    )


def _told(
    asked: Asked, reading: Reading, found: Sequence[Concern], others: tuple[Instead, ...] | None,
    record: Remembered, picture: Path | None, palettes: Path | None,
) -> str:  # fmt: skip
    question = asked.question
    cloth = None if asked.cloth is asked.swatch else asked.cloth.name
    parts = [
        text.heading(text.wrap(title(reading, asked.swatch.name, cloth))),
        _patches(reading) + telling.words(reading),
        telling.notes((*not_offered(question), *record.notes)),
        telling.block("Warnings", telling.concerns([(one, None) for one in found])),
    ]
    if others is not None:
        parts.append(telling.block("Instead", _instead(others)))
    parts += [
        telling.block("Swatch and cloth", telling.known(reading)),
        telling.block("Figures", telling.numbers(reading)),
        telling.basis(question),
        track_told(record.track),
    ]
    if picture is not None:
        parts.append(f"Drawn: {plain(picture)}")
    parts.append(telling.block("Next", _next(asked, others, palettes)))
    return "\n\n".join(part for part in parts if part)


def _patches(reading: Reading) -> str:
    """Return the swatch and the glow side by side, where the terminal shows colours truly."""
    both = text.patch(reading.swatch.hex) + text.patch(reading.glow.hex)
    return f"{both} swatch and stone\n" if both else ""


def _instead(others: tuple[Instead, ...]) -> str:
    if not others:
        return text.wrap("Nothing in the palettes read serves this wish better.", 2)
    return "\n".join(_one(place, other) for place, other in enumerate(others, 1))


def _one(place: int, other: Instead) -> str:
    drift, glow = other.reading.drift, other.reading.glow
    gives_up = f"; you give up {', and '.join(other.gives_up)}" if other.gives_up else ""
    severe = [one for one in other.concerns if one.severity == "severe"]
    warned = f" But: {severe[0].text}" if severe else ""
    ids = " ".join(f"{name} {value}" for name, value in pairing_options(other.reading.question).items())
    said = (
        f"{pairing(other.reading)}, {other.reading.question.size}: {glow.name}, {drift.words} (ΔE00 "
        f"{drift.dE00:.0f} from the swatch){gives_up}.{warned}"
    )
    return f"{text.wrap(said, 4, f'  {place} ')}\n    {ids}"


def _next(asked: Asked, others: tuple[Instead, ...] | None, palettes: Path | None) -> str:
    """Return what to type next: the best alternative in full, then the whole palette."""
    match = same_match(asked, palettes)
    said = []
    if others:
        first: Question = others[0].reading.question
        said += ["Read the first of those in full:", command("try", {**pairing_options(first), **match})]
    if asked.question.swatch_told:
        said += ["Rank the whole palette for this swatch:", command("match", match)]
    said += ["See what there is to choose from:", command("list stones", {"--palettes": palettes})]
    said += ["Choose with pictures, in the terminal:", "  planner"]
    return "\n".join(said)
