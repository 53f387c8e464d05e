"""What can be typed about coatings and stones as people see them: coating, stone, arrived."""

from typing import Any

import click

from planner.cli.fields import Number, OneOf, Rectangle, Size, Whole
from planner.cli.guard import Commands
from planner.cli.options import PATH, together, with_keeping, with_output
from planner.cli.own_commands import add_coating, add_cut, add_stone, keeping

_with_source = click.option(
    "--from", "source", type=OneOf(["picked", "photo", "measured"]), default="picked",
    show_default=True,
    help="Where colours in digits come from: picked by eye (± 6), a photograph with white paper in it "
    "(± 4), or an instrument (± 1).",
)  # fmt: skip

_with_photos = together(
    click.option(
        "--photo", "photos", multiple=True, type=PATH, metavar="FILE",
        help="A photograph of the stones with white paper beside them, in even light. May be given "
        "several times: tilted shots of one card are put together.",
    ),
    click.option(
        "--white", type=Rectangle(), multiple=True, metavar="X,Y,W,H",
        help="Where the white paper or grey card is, once for each photograph. [the planner looks]",
    ),
    click.option(
        "--grey", type=Number("a card's reflectance", above=0.0, most=1.0), metavar="SHARE",
        help="A neutral card of this reflectance, such as 0.18, stands in for white paper.",
    ),
    click.option(
        "--light", type=OneOf(["daylight", "lamps", "unknown"]), default="unknown",
        show_default=True, help="What lit the photographs.",
    ),
)  # fmt: skip
"""Photographs of stones."""


@click.group("coating", cls=Commands, short_help="Keep your own coatings, and find their films.")
def coating() -> None:
    """Keep your own coatings, and find a coating's film from samples that you look at."""


@coating.command("look", short_help="Find a coating's film from coated samples.")
@click.option(
    "--on", multiple=True, metavar="STONE=COLOUR|PLACE",
    help="A coated stone and the colour of its glow in even daylight: six digits (tackle-jet=3a2f6b), a hue "
    "family (blue), or a name (teal); or its place on the photograph: the box x,y,w,h round it, or its "
    "number among those the planner makes out, such as 1-4 (2:x,y,w,h or 2:1-4 on the second). May be given "
    "several times.",
)  # fmt: skip
@_with_photos
@click.option(
    "--lamplit", type=Whole(min=1), multiple=True, metavar="N",
    help="The photograph of this number was lit by the lamps of --venue: only flashes are read from it.",
)  # fmt: skip
@click.option(
    "--flash", multiple=True, metavar="STONE=HUE",
    help="The main hue of a coated stone's flash in --venue. May be given several times.",
)  # fmt: skip
@click.option("--venue", metavar="ID", help="Where the flashes were seen.")
@_with_source
@click.option("--size", type=Size(), default="SS20", show_default=True, metavar="SIZE",
              help="Size of the samples.")  # fmt: skip
@click.option("--foresee", "others", multiple=True, metavar="STONE",
              help="Say what the coating makes of this stone too. May be given several times.")  # fmt: skip
@with_keeping
@with_output
def look_at_coating(**given: Any) -> None:
    """Find the films that give coated samples their colours.

    One clear layer is looked for: its material, thickness and evenness. Often several thicknesses fit:
    all are shown and kept, and the stone that would tell them apart best is named. With --photo and no
    --on, the stones that the planner makes out are listed with their numbers.
    """
    from planner.cli import coating_look

    coating_look.show(**given)


@click.group("stone", cls=Commands, short_help="Keep your own stones, and find what colours them.")
def stone() -> None:
    """Keep your own stones: by name, colour and sizes, or by looking at one."""


@stone.command("look", short_help="Find what colours a stone.")
@click.option(
    "--colour", metavar="COLOUR",
    help="Colour of the uncoated stone in even daylight, on white: six digits or a name such as teal.",
)  # fmt: skip
@click.option(
    "--on", multiple=True, metavar="PLACE",
    help="Where the stone is on the photograph: x,y,w,h or a number. [all that are made out]",
)  # fmt: skip
@_with_photos
@_with_source
@click.option(
    "--material", required=True, type=OneOf(["acrylic", "glass", "lead-free crystal", "lead crystal"]),
    help="What it is made of.",
)  # fmt: skip
@click.option("--cut", required=True, metavar="ID", help="Its cut (planner list cuts).")
@click.option("--foil", type=OneOf(["silver", "aluminium", "none"]), default="silver",
              show_default=True, help="The mirror on its back.")  # fmt: skip
@click.option("--size", required=True, type=Size(), metavar="SIZE", help="Size in which it was seen.")
@click.option("--body", metavar="COLOURANT|smooth", help="Which of the bodies found to keep. [the nearest]")
@with_keeping
@with_output
def look_at_stone(**given: Any) -> None:
    """Find what colours the glass of an uncoated stone.

    Each single colourant is tried in every strength, and a smooth absorption that gives exactly the
    colour. A stone twice as wide is twice as deep in colour, so its size counts.
    """
    from planner.cli import stone_look

    stone_look.show(**given)


@click.command("arrived", short_help="Compare what arrived with what was predicted.")
@click.option("--stone", metavar="ID", help="The stone (planner list stones).")
@click.option("--coating", metavar="ID|none", help="Its coating, or none.")
@click.option("--size", type=Size(), metavar="SIZE", help="Its size, such as SS20.")
@click.option("--seen", metavar="COLOUR",
              help="The colour of its glow: six digits or a name such as teal.")  # fmt: skip
@click.option(
    "--on", multiple=True, metavar="PLACE",
    help="Where the stones are on the photograph: x,y,w,h or a number. [all that are made out]",
)  # fmt: skip
@_with_photos
@_with_source
@click.option("--venue", metavar="ID", help="Where it was seen. [even daylight]")
@click.option(
    "--job", type=PATH, metavar="JOBFILE", help="Log it beside this job too, and say what follows for it."
)
@click.option("--log/--no-log", default=True, help="Remember how far off the prediction was, or do not.")
@click.option("--undo", is_flag=True, help="Take the last arrival out of the log again.")
@with_keeping
@with_output
def arrived(undo: bool, **given: Any) -> None:
    """Compare what arrived with what was predicted, remember how far off that was, and say what follows.

    With --save this lot becomes an entry of its own: the same coating (or glass) as it turned out. What
    is entered twice counts once, and --undo removes the last one.
    """
    from planner.cli import arriving

    if undo:
        arriving.take_back(given["job"], as_data=given["as_data"])
        return
    for name in ("stone", "coating", "size"):
        if given[name] is None:
            raise click.UsageError(f"--{name}: is missing; say what was ordered: --stone, --coating, --size")
    arriving.show(**given)


@click.group("cut", cls=Commands, short_help="Keep cuts of yours.")
def cut() -> None:
    """Keep cuts of your own: facets as you count them, the flat top and the height as you measure them."""


stone.add_command(add_stone)
coating.add_command(add_coating)
cut.add_command(add_cut)
for group, kind in ((stone, "stone"), (coating, "coating"), (cut, "cut")):
    keeping(group, kind)
