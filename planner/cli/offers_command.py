"""``planner offers``: its options."""

from typing import Any

import click

from planner.cli.fields import Size, Whole
from planner.cli.options import PATH, with_output


@click.command("offers", short_help="Compare a file of offers, and say what to ask.")
@click.argument("offers", type=PATH, metavar="OFFERS")
@click.option(
    "--job", type=PATH, metavar="JOBFILE",
    help="The job that the stones are for: its currency, rates, date, counts and readings.",
)  # fmt: skip
@click.option("--stone", metavar="ID", help="Only offers of this stone.")
@click.option("--coating", metavar="ID|none", help="Only offers of this coating.")
@click.option("--size", type=Size(), metavar="SIZE", help="Only offers in this size.")
@click.option(
    "--rate", "rates", multiple=True, metavar="CODE=NUMBER",
    help="What one unit of another currency costs in yours, such as GBP=1.17; it replaces the job's.",
)  # fmt: skip
@click.option("--currency", metavar="CODE", help="Your currency. [the job's, else EUR]")
@click.option(
    "--bands", type=PATH, metavar="FILE",
    help="Usual prices to compare offers with. [price_bands.csv in the folder of palettes, if it is there]",
)  # fmt: skip
@click.option(
    "--top", type=Whole(1, 50_000), default=8, show_default=True, metavar="N",
    help="How many offers of each kind of stone to show.",
)  # fmt: skip
@click.option(
    "--csv", "table", type=PATH, metavar="FILE", help="Also write the comparison as a new CSV file."
)
@click.option(
    "--confirm", is_flag=True,
    help="Accept every guess as right, and remember it for its seller.",
)  # fmt: skip
@with_output
def offers(**given: Any) -> None:
    """Compare what offers cost delivered, side by side, and say what to ask each seller.

    OFFERS is a CSV file or a workbook with one pack in each row. Rows that are not understood are
    listed with their column and left out. The exit status is 2 if nothing can be read, and 0 otherwise.
    """
    from planner.cli import offering

    offering.show(**given)
