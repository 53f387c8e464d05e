"""What can be typed after ``planner venue``: the light as people know it."""

from typing import Any

import click

from planner.cli.fields import Number, OneOf, Size, Tolerance
from planner.cli.guard import Commands
from planner.cli.options import PATH, with_grade, with_json, with_keeping, with_output
from planner.cli.own_commands import keeping


@click.group("venue", cls=Commands, short_help="Make, show and compare venues.")
def venue() -> None:
    """Make a venue from plain words, show what one is, and compare a pairing in several."""


@venue.command("make", short_help="Make a venue from plain words.")
@click.option("--lamp", "lamps", multiple=True, metavar="WORDS",
              help="A lamp, such as 'halogen 3200 front 400 lx'; once for each.")  # fmt: skip
@click.option(
    "--lux", "total", type=Number("an illuminance", "lx", above=0.0, most=200000.0), metavar="LX",
    help="All lamps together, where lamps have a share of it instead of lx.",
)  # fmt: skip
@click.option("--surround", default="dim", show_default=True, metavar="WORDS",
              help="Light from everywhere: black to outdoors, or such as 40 lx.")  # fmt: skip
@click.option("--floor", default="dark stage", show_default=True, metavar="WORDS",
              help="What the floor is, since it bounces light up: ice, pale wood, a colour or a "
              "reflectance.")  # fmt: skip
@click.option(
    "--distance", type=Number("a distance", "m", above=0.0, most=500.0), default=12.0, show_default=True,
    metavar="METRES", help="How far away the viewer usually is.",
)  # fmt: skip
@with_keeping
@with_json
def make(**given: Any) -> None:
    """Make a venue from words, and show what was understood.

    A lamp is a kind (halogen, tube, LED, RGB LED, daylight, an illuminant such as FL2, or the file of a
    measured spectrum), kelvin, a place (front, sides, back, overhead array, followspot) and lx on a
    surface that faces it. It may be dimmed ("70 %" of its light, "80 % volts"), behind a filter ("filter
    #ff8800" or a file) or have a share of --lux ("share 40 %"). lx are for the lamp at full and without
    its filter, unless you add "metered". Words may come in any order.
    """
    from planner.cli import venue_making

    venue_making.make(**given)


@venue.command("show", short_help="Show the light of a venue.")
@click.argument("venue_id", metavar="ID")
@with_output
def show(**given: Any) -> None:
    """Show what lights a venue: how white each lamp is, how well it shows colours, its share, its angle."""
    from planner.cli import venue_making

    venue_making.show(**given)


@venue.command("compare", short_help="Read one pairing, or a job, in several venues.")
@click.option("--venue", "venues", multiple=True, metavar="ID", help="A venue; two to four. [the job's]")
@click.option(
    "--job", type=PATH, metavar="JOBFILE", help="Say which lines of this job are good in all of them."
)
@click.option("--stone", metavar="ID", help="The stone.")
@click.option("--coating", metavar="ID|none", help="Its coating, or none.")
@click.option("--size", type=Size(), default="SS20", show_default=True, metavar="SIZE", help="Its size.")
@click.option("--swatch", metavar="ID|COLOUR", help="Colour to match.")
@click.option("--cloth", metavar="ID|COLOUR", help="What the stones sit on, when it is not the swatch.")
@click.option(
    "--distance", type=Number("a distance", "m", above=0.0, most=500.0), metavar="METRES",
    help="How far away the viewer is. [each venue's usual distance]",
)  # fmt: skip
@click.option("--cover", type=Number("a cover", least=0.0, most=1.0), default=0.3, show_default=True,
              metavar="SHARE", help="Share of the cloth that stones cover, 0 to 1.")  # fmt: skip
@click.option("--tolerance", type=Tolerance(), default="seats", show_default=True,
              metavar="arm|seats|family|NUMBER", help="How close to the swatch it must be.")  # fmt: skip
@click.option("--wish", type=OneOf(["blend", "tone", "contrast"]), default="blend", show_default=True,
              help="Blend in, keep the hue at another depth, or stand out.")  # fmt: skip
@with_grade("quick")
@with_output
def compare(**given: Any) -> None:
    """Read the same pairing in two to four venues, side by side; with --job, every line of a job."""
    from planner.cli import venue_comparing

    venue_comparing.show(**given)


keeping(venue, "venue")
