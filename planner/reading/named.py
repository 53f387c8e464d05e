"""A question with the names that it was put by: what was typed, and what that is called."""

from dataclasses import dataclass, replace

from planner.catalogue.find import id_of, misspelt, not_found
from planner.catalogue.palette import Palette
from planner.colour.screen import HEX, parse_hex, to_hex
from planner.job.model import Job
from planner.reading.question import Question, named_colour, swatch_colour, typed_colour
from planner.refusal import Refusal
from planner.swatch.resolve import SwatchColour


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
    heard: tuple[tuple[str, str], ...] = ()
    """Where a name was guessed at: what it was taken as, then what else it may be, each with "#rrggbb"."""


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

    @property
    def heard(self) -> tuple[tuple[str, str], ...]:
        """What guessed names were taken as, or may mean, each with "#rrggbb"."""
        return tuple(dict.fromkeys((*self.swatch.heard, *self.cloth.heard)))


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
    return Colour(text, text, None, replace(found.colour, how=found.how), found.notes, found.heard)


def asked_in(job: Job, question: Question, palette: Palette, grade: str) -> Asked:
    """Return what a line of a job asks, with the names that the job uses."""
    swatch = colour_asked(job.swatch, palette)
    return Asked(question, swatch, swatch if job.cloth is None else colour_asked(job.cloth, palette), grade)
