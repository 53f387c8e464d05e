"""What can be typed about covering a garment: how many stones, what sizes look like, how to fix them."""

from pathlib import Path
from typing import Any

import click

from planner.cli.fields import Number, Size
from planner.cli.options import PATH, with_json, with_output


@click.command("cover", short_help="Count the stones that a job needs.")
@click.argument("job", type=PATH, metavar="JOBFILE")
@click.option(
    "--picture", metavar="AREA",
    help="Show all of this area to scale, as it is seen from the job's distance on a terminal with 24-bit "
    "colour, else in letters.",
)  # fmt: skip
@click.option(
    "--costume",
    is_flag=True,
    help="Show the whole costume with the stones of all areas that name a part of its outline.",
)
@click.option(
    "--across", type=Number("a width", "mm", least=5.0, most=20000.0), metavar="MM",
    help="How many millimetres of cloth the picture shows across; a part is shown from above. [the whole "
    "area]",
)  # fmt: skip
@with_output
def cover(job: Path, **given: Any) -> None:
    """Count the stones that a job's areas need, on the cloth as worn.

    It shows the stones of each area; how many of each pairing and size, with spares, in gross and stones;
    what they weigh and how long they take to set. Cautions for the wearer come first.
    """
    from planner.cli import covering

    covering.show(job, **given)


@click.command("sizes", short_help="Show stone sizes in true proportion.")
@click.argument("sizes", nargs=-1, type=Size(), metavar="[SIZE]...")
@click.option(
    "--column", type=Number("the width of a column", "mm", least=0.05, most=10.0), metavar="MM",
    help="Width of one character on your screen: ten of them measured with a rule, divided by ten. The "
    "picture is then life-sized.",
)  # fmt: skip
@with_json
def sizes(sizes: tuple[str, ...], column: float | None, as_data: bool) -> None:
    """Show stones as discs beside a coin-sized circle, over a millimetre rule, and what sizes are for.

    Without sizes, the most common ones.
    """
    from planner.cli import covering_sizes

    covering_sizes.show(sizes, column=column, as_data=as_data)


@click.command("fixing", short_help="Say how to fix a job's stones, and what to be careful of.")
@click.argument("job", type=PATH, metavar="JOBFILE")
@with_output
def fixing(job: Path, palettes: Path | None, as_data: bool) -> None:
    """Say for each line of a job how it is fixed to this cloth, how much glue and time it takes, and what to
    be careful of. Cautions for the wearer come first; the product's safety data sheet and local rules
    come before anything said here.
    """  # noqa: D205 - click takes the first paragraph as the whole summary
    from planner.cli import covering

    covering.show_fixing(job, palettes, as_data=as_data)
