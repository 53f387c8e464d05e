"""What was asked, in figures, and the commands that ask it again."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, Final

from planner.catalogue.coating import NONE
from planner.catalogue.fields import Entry
from planner.catalogue.palette_file import entry_data
from planner.reading.named import Asked, Colour
from planner.reading.question import Question
from planner.say.document import Command, Part, Patch, Patches, Section, Sentence

_DEFAULTS: Final = {"--cover": 0.3, "--tolerance": "seats", "--wish": "blend"}


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


def understood(remarks: Iterable[str], heard: Sequence[tuple[str, str]]) -> list[Part]:
    """Return how names of colours were understood, with a patch of each colour that may be meant."""
    told: list[Part] = [Sentence(f"Note: {one}") for one in remarks]
    return [*told, Patches(tuple(Patch(name, digits) for name, digits in heard))] if heard else told


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
