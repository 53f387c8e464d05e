"""What was asked: a question with the names it was put by, and the commands that put it again."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from planner.catalogue.coating import NONE
from planner.catalogue.fields import Entry
from planner.catalogue.find import id_of, misspelt, not_found
from planner.catalogue.palette import Palette
from planner.catalogue.palette_file import entry_data
from planner.colour.screen import HEX, parse_hex, to_hex
from planner.job.model import Job
from planner.reading.question import Question, named_colour, swatch_colour, typed_colour
from planner.refusal import Refusal
from planner.say.document import Command, Part, Section, Sentence
from planner.swatch.resolve import SwatchColour

_DEFAULTS: Final = {"--cover": 0.3, "--tolerance": "seats", "--wish": "blend"}


@dataclass(frozen=True)
class Colour:
    """A colour as it was asked for."""

    typed: str
    """The id of a swatch, or sRGB digits with a #."""
    name: str
    """The swatch's name, or the digits."""
    id: str | None
    """The swatch's id; None for a typed colour."""
    colour: SwatchColour
    remarks: tuple[str, ...] = ()
    """What is to be known of how a name was understood, one sentence each."""


@dataclass(frozen=True)
class Asked:
    """A question, and how it was put."""

    question: Question
    swatch: Colour
    cloth: Colour
    """The same as `swatch` where the stones sit on it."""
    grade: str
    """How finely light is followed: "quick" or "fine"."""

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is to be known of how colours were understood, one sentence each."""
        return tuple(dict.fromkeys((*self.swatch.remarks, *self.cloth.remarks)))


def colour_asked(text: str, palette: Palette) -> Colour:
    """Return a swatch by its id or name, else a colour by its sRGB digits or by what people call it.

    Raises
    ------
    Refusal
        If it is none of these, or no cloth's colour.

    """
    # What begins with # is a colour, whatever swatch is called so.
    swatch = None if text.startswith("#") else id_of("swatch", text, palette.swatches)
    if swatch is not None:
        entry = palette.swatches[swatch]
        return Colour(swatch, entry.name, entry.id, swatch_colour(entry))
    if HEX.fullmatch(text):
        digits = to_hex(parse_hex(text))
        return Colour(digits, digits, None, typed_colour(digits))
    if misspelt(text, palette.swatches):
        raise Refusal(not_found("swatch", text, palette.swatches))
    found = named_colour(text)
    return Colour(text, text, None, replace(found.colour, how=found.how), found.notes)


def asked_in(job: Job, question: Question, palette: Palette, grade: str) -> Asked:
    """Return what a line of a job asks, with the names that the job uses."""
    swatch = colour_asked(job.swatch, palette)
    return Asked(question, swatch, swatch if job.cloth is None else colour_asked(job.cloth, palette), grade)


def read_again(question: Question, asked: Asked, palettes: Path | None) -> Command:
    """Return the command that reads a pairing beside the swatch that was asked about, in the same place."""
    return Command("try", {**pairing_options(question), **_match_options(asked, palettes)})


def rank_all(asked: Asked, palettes: Path | None) -> Command:
    """Return the command that ranks the palette beside the same swatch."""
    return Command("match", _match_options(asked, palettes))


def _match_options(asked: Asked, palettes: Path | None) -> dict[str, object]:
    """Return the options that put the same swatch in the same place, defaults left out."""
    question = asked.question
    usual = question.distance == question.venue.distance
    own = {"--cover": question.cover, "--tolerance": question.tolerance, "--wish": question.wish}
    return {
        "--swatch": asked.swatch.typed.removeprefix("#"),
        "--cloth": None if asked.cloth is asked.swatch else asked.cloth.typed.removeprefix("#"),
        "--venue": question.venue.id,
        "--distance": None if usual else f"{question.distance:g}",
        **{name: value for name, value in own.items() if value != _DEFAULTS[name]},
        "--palettes": palettes,
    }


def pairing_options(question: Question) -> dict[str, object]:
    """Return the options that name a pairing."""
    return {"--stone": question.stone.id, "--coating": coating_id(question), "--size": question.size}


def coating_id(question: Question) -> str:
    """Return what the coating is called on the command line: its id, or "none"."""
    return question.coating.id if question.coating else NONE


def next_steps(*parts: Part) -> Section:
    """Return what to do next, under its heading."""
    return Section("", (Sentence("Next", "strong"), *parts))


def asked_data(asked: Asked) -> dict[str, Any]:
    """Return everything a reading was made from, resolved."""
    question = asked.question
    stone = question.stone
    return {
        "stone": {"id": stone.id, "name": stone.name, "material": stone.material, "cut": stone.cut,
                  "foil": stone.foil},
        "coating": named(question.coating),
        "size": question.size,
        "millimetres": question.millimetres,
        "swatch": _colour_data(asked.swatch),
        "cloth": _colour_data(asked.cloth),
        "venue": named(question.venue),
        "distance_m": question.distance,
        "cover": question.cover,
        "tolerance": question.tolerance,
        "wish": question.wish,
        "grade": asked.grade,
    }  # fmt: skip


def named(entry: Entry | None) -> dict[str, str] | None:
    """Return the id and name of an entry; None for none."""
    return None if entry is None else {"id": entry.id, "name": entry.name}


def pairing_data(question: Question) -> dict[str, Any]:
    """Return what a pairing is made of."""
    return {"stone": named(question.stone), "coating": named(question.coating), "size": question.size}


def _colour_data(one: Colour) -> dict[str, Any]:
    """Return a swatch as it is in daylight (D65)."""
    return {
        "id": one.id, "name": one.name, "lab": list(one.colour.lab),
        "uncertainty_dE00": one.colour.uncertainty, "spectrum_guessed": one.colour.recovered,
        "how": one.colour.how, "basis": one.colour.basis, "fluorescent": one.colour.fluorescent,
        "cloth": None if one.colour.cloth is None else entry_data(one.colour.cloth),
    }  # fmt: skip
