"""The command to type next, ready to be copied."""

import os
import shlex
from collections.abc import Mapping
from pathlib import Path

from planner.catalogue.coating import NONE
from planner.cli import text
from planner.cli.ask import Asked
from planner.cli.guard import plain
from planner.reading.question import Question

_DEFAULTS = {"--cover": 0.3, "--tolerance": "seats", "--wish": "blend"}


def command(verb: str, options: Mapping[str, object]) -> str:
    """Return a command with its options, continued over lines as a shell reads them.

    An option that is None is left out.
    """
    words = ["planner " + verb]
    words += [f"{name} {shlex.quote(str(value))}" for name, value in options.items() if value is not None]
    # Only the shells of Unix read a backslash at the end of a line as "to be continued".
    room = text.columns() - 2 if os.name != "nt" else 10_000
    lines = [words[0]]
    for word in words[1:]:
        if len(lines[-1]) + 1 + len(word) > room - 2:
            lines.append(f"    {word}")
        else:
            lines[-1] += f" {word}"
    return "  " + " \\\n  ".join(plain(one) for one in lines)


def same_match(asked: Asked, palettes: Path | None) -> dict[str, object]:
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
    coating = question.coating.id if question.coating else NONE
    return {"--stone": question.stone.id, "--coating": coating, "--size": question.size}
