"""From what was typed to questions: names are looked up, and a name that nothing has is refused kindly."""

from collections.abc import Mapping
from pathlib import Path
from typing import TypeVar

import click

from planner.catalogue.coating import NONE, Coating
from planner.catalogue.errors import suggest
from planner.catalogue.fields import Entry
from planner.catalogue.find import id_of, not_found
from planner.catalogue.palette import Palette
from planner.cli.at_hand import PLURALS
from planner.colour.screen import HEX
from planner.job import JobFile, read_job_file
from planner.reading.matter import FINE, QUICK, Grade
from planner.reading.named import Asked, Colour, colour_asked
from planner.reading.question import Question, Wish
from planner.refusal import Refusal, show
from planner.say.as_text import plain

GRADES: dict[str, Grade] = {"quick": QUICK, "fine": FINE}
"""How finely stones are followed, by the word for it on the command line."""

EntryT = TypeVar("EntryT", bound=Entry)


def colour_typed(option: str, text: str, palette: Palette) -> Colour:
    """Return a swatch by its id or name, else a colour by its digits or by what people call it."""
    try:
        return colour_asked(text, palette)
    except Refusal as problem:
        if text in palette.swatches:
            where = palette.origin("swatch", text)
            raise Refusal(f"{where}, swatch {show(text)}: {problem}") from None
        if HEX.fullmatch(text):
            raise click.BadParameter(f"found {show(text)}; {problem}", param_hint=option) from None
        hint = "" if text.startswith("#") else f"{suggest(text, palette.swatches)} {_listing('swatch')}; "
        raise click.BadParameter(
            f"found {show(text)}, which is neither a swatch nor a colour; {hint}a colour is typed as six "
            "hexadecimal digits, such as 2a4b9c, or by its name, such as royal blue",
            param_hint=option,
        ) from None


def asked_for(
    palette: Palette, *, stone: str, coating: str, size: str, swatch: str, cloth: str | None, venue: str,
    distance: float | None, cover: float, tolerance: str | float, wish: Wish, grade: str,
) -> Asked:  # fmt: skip
    """Return the question that the options of a command put.

    Raises
    ------
    click.BadParameter
        If the palette has no such entry, or the coating cannot lie on the stone.
    Refusal
        If a swatch in a file is no cloth's colour.

    """
    target = colour_typed("--swatch", swatch, palette)
    under = target if cloth is None else colour_typed("--cloth", cloth, palette)
    place = called("venue", venue, palette.venues)
    base = called("stone", stone, palette.stones)
    film = coating_called(coating, palette)
    try:
        question = Question(
            stone=base, cut=palette.cuts[base.cut], coating=film, size=size, swatch=target.colour,
            cloth=under.colour, venue=place, distance=place.distance if distance is None else distance,
            cover=cover, tolerance=tolerance, wish=wish,
        )  # fmt: skip
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--coating") from None
    return Asked(question, target, under, grade)


def called(kind: str, name: str, known: Mapping[str, EntryT]) -> EntryT:
    """Return an entry by its id or name, or refuse the option ``--kind`` with what may have been meant."""
    found = id_of(kind, name, known)
    if found is None or found not in known:
        raise click.BadParameter(f"{not_found(kind, name, known)} {_listing(kind)}", param_hint=f"--{kind}")
    return known[found]


def coating_called(name: str, palette: Palette) -> Coating | None:
    """Return a coating by its id or name, None for uncoated, or refuse ``--coating``."""
    bare = id_of("coating", name, palette.coatings) == NONE
    return None if bare else called("coating", name, palette.coatings)


def _listing(kind: str) -> str:
    return f"(planner list {PLURALS[kind]} shows all)"


def job_file(path: Path) -> JobFile:
    """Return a job file; what is read in another way than it is written is told on standard error."""
    file = read_job_file(path)
    for note in file.notes:
        click.echo(plain(note), err=True)
    return file
