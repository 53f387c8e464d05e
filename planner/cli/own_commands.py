"""What can be typed about a person's own entries: adding, copying, renaming and removing them."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias

import click

from planner.cli.fields import Number, OneOf
from planner.cli.options import with_output

Done: TypeAlias = Callable[..., None]

MATERIALS = ("acrylic", "glass", "lead-free crystal", "lead crystal")


def keeping(group: click.Group, kind: str) -> None:
    """Give the commands copy, rename and remove to the group of a kind of entry."""

    def command(
        name: str, short: str, *, named: bool
    ) -> Callable[[Callable[..., None]], Callable[..., None]]:
        def decorate(done: Callable[..., None]) -> Callable[..., None]:
            made: Any = with_output(done)
            if named:
                made = click.argument("name")(made)
            group.command(name, short_help=short)(click.argument("which", metavar=kind.upper())(made))
            return done

        return decorate

    @command("copy", f"Copy a {kind} under another name.", named=True)
    def copy(which: str, name: str, palettes: Path | None, as_data: bool) -> None:
        """Copy any entry, even one of the demo's, under a NAME of your own, to change it."""
        from planner.cli import own_entries

        own_entries.copy(kind, which, name, palettes, as_data=as_data)

    @command("rename", f"Give a {kind} of yours another name.", named=True)
    def rename(which: str, name: str, palettes: Path | None, as_data: bool) -> None:
        """Give an entry of yours another NAME; jobs that use it go on using it."""
        from planner.cli import own_entries

        own_entries.rename(kind, which, name, palettes, as_data=as_data)

    @command("remove", f"Remove a {kind} of yours.", named=False)
    def remove(which: str, palettes: Path | None, as_data: bool) -> None:
        """Remove an entry of yours; the file as it was is kept beside it as a backup."""
        from planner.cli import own_entries

        own_entries.remove(kind, which, palettes, as_data=as_data)


_REPLACE = click.option("--replace", "over", is_flag=True, help="Replace yours of the same name.")


@click.command("add", short_help="Add a stone of yours: a name, a colour, sizes.")
@click.argument("name")
@click.option("--colour", default="", metavar="COLOUR",
              help="Colour of the uncoated stone by the window: royal blue, 2a4b9c, clear, jet. [as its name "
              "says]")  # fmt: skip
@click.option("--sizes", required=True, metavar="SIZES", help='All sizes at once: "SS12 16 20 30", "5 mm".')
@click.option(
    "--seen", "seen_size", metavar="SIZE", help="Size of the stone that you looked at. [the middle one]"
)
@click.option("--material", type=OneOf(MATERIALS), default="glass", show_default=True, help="Made of.")
@click.option(
    "--cut", default="twelve", show_default=True, metavar="CUT", help="Its cut (planner list cuts)."
)
@click.option("--foil", type=OneOf(["silver", "aluminium", "none"]), default="silver", show_default=True,
              help="The mirror on its back.")  # fmt: skip
@_REPLACE
@with_output
def add_stone(**given: Any) -> None:
    """Add a stone as you know it: planner stone add "Royal blue" --sizes "SS16 20"."""
    from planner.cli import own_entries

    own_entries.add_stone(**given)


@click.command("add", short_help="Add a cut of yours: its facets, counted and measured.")
@click.argument("name")
@click.option("--facets", required=True, metavar="N|N+N",
              help="Facets round the flat top: 12, or 8+8 for two rows, the outer one first.")  # fmt: skip
@click.option("--top", "table", type=Number("a width", "%", above=0.0, below=100.0), metavar="PER CENT",
              help="Width of the flat top, of the stone's. [as usual]")  # fmt: skip
@click.option("--height", type=Number("a height", "%", above=0.0, most=100.0), metavar="PER CENT",
              help="Height from back to top, of the stone's width. [as usual]")  # fmt: skip
@click.option("--finish", type=OneOf(["polished", "usual", "pressed"]), default="usual", show_default=True,
              help="How flat its facets are: finely polished, or rounded as pressed ones.")  # fmt: skip
@_REPLACE
@with_output
def add_cut(**given: Any) -> None:
    """Add a cut as you see it on a stone: planner cut add "Ten" --facets 10 --top 55."""
    from planner.cli import own_entries

    own_entries.add_cut(**given)


@click.command("add", short_help="Add a coating of yours, by a name and what it is like.")
@click.argument("name")
@click.option("--like", default="AB", show_default=True, metavar="COATING",
              help="The coating to begin from: AB stands for every aurora film that is sold. Looking at a "
              "sample (planner coating look) narrows it down.")  # fmt: skip
@_REPLACE
@with_output
def add_coating(**given: Any) -> None:
    """Add a coating under the name by which you buy it."""
    from planner.cli import own_entries

    own_entries.add_coating(**given)
