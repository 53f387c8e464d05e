"""What can be typed about the drawer: ``planner drawer``."""

from pathlib import Path

import click

from planner.cli.fields import Whole
from planner.cli.options import PATH, with_output


@click.command("drawer", short_help="Show what you own, lot by lot, and ask for more of a lot.")
@click.option("--file", "path", type=PATH, metavar="FILE", help="The drawer's file. [your own]")
@click.option(
    "--more", type=Whole(1, 10000), metavar="N", help="Write a question to the seller about more of lot N."
)
@click.option("--count", type=Whole(1, 1_000_000), metavar="N", help="How many more to ask for.")
@with_output
def drawer(
    path: Path | None, more: int | None, count: int | None, palettes: Path | None, as_data: bool
) -> None:  # fmt: skip
    """Show every lot in your drawer with its colour; with --more, write a question to the seller."""
    from planner.cli import owning

    owning.show(path, more=more, count=count, palettes=palettes, as_data=as_data)
