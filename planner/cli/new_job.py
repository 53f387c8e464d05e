"""A new job asked for in a few questions, for ``planner new``."""

import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import click

from planner.assess.begin import Begun, begin
from planner.atomic import refuse_taken
from planner.catalogue import own
from planner.catalogue.find import id_of
from planner.catalogue.pairing import pairing_name
from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.cli.ask import colour_typed
from planner.cli.at_hand import palette_of
from planner.cli.text import tell
from planner.job.file import JobFile, new_job_file
from planner.lighting.halls import hall_said
from planner.reading.named import Colour
from planner.reading.question import named_colour
from planner.refusal import InvalidValue
from planner.say.document import Command, Document, Item, Section, Sentence, document, section
from planner.say.question import understood
from planner.swatch.kept import entry

_QUESTIONS = {
    "title": ("What is the costume called?", "New costume"),
    "swatch": (
        "What colour are the stones to match? (a name, 2a4b9c or a swatch)",
        None,
    ),
    "venue": ("Where will it be seen? (school hall, stage lights; rink, LED; a venue)", "theatre"),
}


def show(
    *, file: Path, title: str | None, swatch: str | None, venue: str | None, size: str, wearer: str,
    event: date | None, wish: str, palettes: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Write a new job, and say what it opens on."""
    refuse_taken(file)
    given = {"title": title, "swatch": swatch, "venue": venue}
    said = {name: value if value is not None else _ask(name) for name, value in given.items()}
    palette = palette_of(palettes, file)
    place, palette, where = _venue(said["venue"], palette, palettes)
    swatch_id, colour, palette = _swatch(said["swatch"], palette, palettes)
    begun = begin(
        palette, title=said["title"], swatch=swatch_id, venue=place, size=size, wearer=wearer, event=event,
        wish=wish,  # type: ignore[arg-type]  # one of the words that the option allows
    )  # fmt: skip
    saved = new_job_file(file, begun.job).save()
    tell(_told(begun, saved, (*where, *colour.remarks), colour.heard, palettes), as_data=as_data)


def _ask(name: str) -> str:
    """Return the answer to one question, or refuse the option where nobody can be asked."""
    question, usual = _QUESTIONS[name]
    if not sys.stdin.isatty():
        if usual is not None and name == "title":
            return usual
        raise click.UsageError(f"--{name}: is missing; {question[:1].lower()}{question[1:]}")
    return str(click.prompt(question, default=usual))


def _swatch(said: str, palette: Palette, palettes: Path | None) -> tuple[str, Colour, Palette]:
    """Return how the job names its swatch, and what it was understood as; a name is kept as a swatch."""
    colour = colour_typed("--swatch", said, palette)
    if colour.id is not None or colour.typed.startswith("#"):
        return colour.id or colour.typed, colour, palette
    name = f"{said[:1].upper()}{said[1:]}"
    kept = entry(named_colour(said), own.id_for(palette, "swatch", name), "--swatch", name)
    own.add(kept, palette, palettes=palettes)
    return kept.id, colour, palette_of(palettes)


def _venue(said: str, palette: Palette, palettes: Path | None) -> tuple[Venue, Palette, tuple[str, ...]]:
    """Return the venue of that name, or one made from the words, which is kept."""
    found = id_of("venue", said, palette.venues)
    if found is not None:
        return palette.venues[found], palette, ()
    try:
        made = hall_said(said, palette.venues)
    except InvalidValue as problem:
        raise click.BadParameter(str(problem), param_hint="--venue") from None
    own.add(made.venue, palette, palettes=palettes)
    return made.venue, palette_of(palettes), made.notes


def _told(
    begun: Begun, file: JobFile, remarks: tuple[str, ...], heard: Sequence[tuple[str, str]],
    palettes: Path | None,
) -> Document:  # fmt: skip
    job = begun.job
    best = [
        Item(
            f"{pairing_name(one.question.stone, one.question.coating)}, {one.question.size}", mark=str(place)
        )
        for place, one in enumerate(begun.best, 1)
    ]
    whose = f"Nearest{' of your own stones' if begun.own else ''}; the job begins with the first"
    return document(
        job.title,
        [
            Sentence(f"Saved: {file.path}."),
            section("What was understood", [*map(Item, remarks), *understood((), heard)]),
            section(whose, best),
            Section("Next", (
                Sentence("Go on with it on the screen, or check it here:"),
                Command(f"open {file.path}", {"--palettes": palettes}),
                Command(f"check {file.path}", {"--palettes": palettes}),
            )),
        ],
        {"schema": "planner new 1", "file": str(file.path), "job": job.model_dump(mode="json"),
         "own": begun.own, "remarks": list(remarks)},
    )  # fmt: skip
