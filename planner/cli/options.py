"""Options that several commands have in common."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from planner.cli.fields import Day, FilePath, OneOf

F = TypeVar("F", bound=Callable[..., Any])

PATH = FilePath(path_type=Path)


def together(*options: Callable[[F], F]) -> Callable[[F], F]:
    """Return one decorator for several options, which help then lists in this order."""

    def decorate(command: F) -> F:
        for option in reversed(options):
            command = option(command)
        return command

    return decorate


with_palettes = click.option(
    "--palettes", type=PATH, metavar="FOLDER",
    help="Read this folder of palette files instead of the demo and your own folder.",
)  # fmt: skip
with_json = click.option("--json", "as_data", is_flag=True, help="Print JSON, for programs.")
with_output = together(with_palettes, with_json)

with_keeping = together(
    click.option("--save", metavar="NAME", help="Keep it under this name, as you say it."),
    click.option("--replace", "over", is_flag=True, help="Put it in place of yours of the same name."),
    click.option("--to", type=PATH, metavar="FILE",
                 help="Palette file to keep it in; made if missing. [in your own folder]"),
)  # fmt: skip
with_day = click.option(
    "--day", type=Day(), metavar="DATE", help="Work it out as if ordered on this day. [today]"
)


def with_grade(default: str) -> Callable[[F], F]:
    """Return the option that says how finely light is followed."""
    return click.option(
        "--grade", type=OneOf(["quick", "fine"]), default=default, show_default=True,
        help="How finely light is followed through the stone. quick: rougher and faster.",
    )  # fmt: skip
