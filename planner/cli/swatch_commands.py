"""What can be typed after ``planner swatch``: the ways in which a swatch's colour gets in."""

from typing import Any

import click

from planner.cli.fields import Number, OneOf, Rectangle
from planner.cli.guard import Commands
from planner.cli.options import PATH, together, with_json, with_keeping
from planner.cli.own_commands import keeping

_with_the_rest = together(
    click.option(
        "--kind", metavar="KIND",
        help="Kind of cloth: matte, satin, velvet, metallic, sheer or two-tone.",
    ),
    click.option(
        "--backing", metavar="COLOUR",
        help="Sheer: what it is worn over, a colour or such as fair-skin or white-lining.",
    ),
    click.option(
        "--read-over", metavar="COLOUR",
        help="Sheer: what it lay on when its colour was got, such as white-paper. [the backing]",
    ),
    click.option(
        "--lets-through", type=Number("a share of light", above=0.0, below=1.0), metavar="SHARE",
        help="Sheer: share of the light that passes through it once, such as 0.4.",
    ),
    click.option(
        "--second", metavar="COLOUR",
        help="Two-tone: the colour of the other thread; COLOUR is then the first thread's alone.",
    ),
    with_keeping,
    with_json,
)  # fmt: skip
"""What all ways in have in common."""


@click.group("swatch", cls=Commands, short_help="Enter the colour of a swatch.")
def swatch() -> None:
    """Enter the colour of a swatch: typed, from a photograph, or measured.

    Each way says what the colour is, how sure that is, and what it can decide.
    """


@swatch.command("type", short_help="From a colour that you type.")
@click.argument("colour")
@click.option(
    "--illuminant", default="D65", show_default=True, metavar="NAME",
    help="Light that the numbers are for, such as D50 or A.",
)  # fmt: skip
@click.option(
    "--observer", type=OneOf(["2", "10"]), default="2", show_default=True,
    help="Degrees of the standard observer they are for.",
)  # fmt: skip
@click.option("--fluorescent", is_flag=True, help="The cloth is neon: it may be brighter than white.")
@_with_the_rest
def type_colour(observer: str, **given: Any) -> None:
    """Enter a COLOUR as you type it.

    COLOUR is sRGB digits (2a4b9c), "lab L a b", "lch L C h", "xyz X Y Z" with Y = 100 for white, or a
    colour name of ISCC-NBS such as "strong blue".
    """
    from planner.cli import swatch_taking

    swatch_taking.typed(observer=int(observer), **given)


@swatch.command("photo", short_help="From a photograph with white paper in it.")
@click.argument("photographs", metavar="FILE...", nargs=-1, required=True, type=PATH)
@click.option(
    "--cloth", type=Rectangle(), multiple=True, metavar="X,Y,W,H",
    help="Where the cloth is, in pixels from the top left. [the planner looks for it]",
)  # fmt: skip
@click.option(
    "--white", type=Rectangle(), multiple=True, metavar="X,Y,W,H",
    help="Where the white paper or grey card is. [the planner looks for it]",
)  # fmt: skip
@click.option(
    "--grey", type=Number("a card's reflectance", above=0.0, most=1.0), metavar="SHARE",
    help="A neutral card of this reflectance, such as 0.18, stands in for white paper.",
)  # fmt: skip
@click.option(
    "--light", type=OneOf(["daylight", "lamps", "unknown"]), default="unknown", show_default=True,
    help="What lit the cloth; a window's daylight is the surest.",
)  # fmt: skip
@click.option("--fluorescent", is_flag=True, help="The cloth is neon.")
@_with_the_rest
def photo(**given: Any) -> None:
    """Take a colour from one or more photographs, PNG, JPEG or HEIC, of the cloth beside white paper.

    Lay both flat, side by side, in one light, by a window, and let nothing on the paper burn out. With
    several photographs, give --cloth and --white once for each, or not at all.
    """
    from planner.cli import swatch_taking

    swatch_taking.photographed(**given)


@swatch.command("measured", short_help="From an instrument's file.")
@click.argument("file", type=PATH)
@click.option("--sample", metavar="NAME", help="The sample to take, where the file holds several cloths.")
@click.option(
    "--unit", type=OneOf(["auto", "fraction", "percent"]), default="auto", show_default=True,
    help="Unit of reflectances. auto: by their size.",
)  # fmt: skip
@click.option("--fluorescent", is_flag=True, help="The cloth is neon: it may exceed 1.")
@_with_the_rest
def measured(**given: Any) -> None:
    """Take a colour that an instrument measured.

    FILE is a table (CSV) of wavelengths and reflectances, or CGATS text (ISO 28178) with spectra, CIELAB
    or XYZ. Several readings of one cloth are averaged.
    """
    from planner.cli import swatch_taking

    swatch_taking.measured(**given)


keeping(swatch, "swatch")
