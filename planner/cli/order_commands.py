"""What can be typed after ``planner order``."""

from typing import Any

import click

from planner.cli.fields import OneOf
from planner.cli.guard import SEVERE
from planner.cli.options import PATH, with_day, with_output


@click.command("order", short_help="Choose the packs to buy for a job.")
@click.argument("job", type=PATH, metavar="JOBFILE")
@click.argument("offers", type=PATH, metavar="[OFFERS]", required=False)
@click.option(
    "--stock",
    type=PATH,
    metavar="FILE",
    help="Stones in the drawer, which are used first. [the job's, else your own drawer]",
)
@click.option("--use-stock", is_flag=True,
              help="Take what this order uses off the counts in --stock; a backup is kept.")  # fmt: skip
@click.option("--mix-sellers", is_flag=True,
              help="Allow one pairing in one size to come from several sellers.")  # fmt: skip
@click.option("--csv", "out", type=PATH, metavar="FILE", help="Also write the list as a new CSV file.")
@with_day
@click.option(
    "--grade", type=OneOf(["quick", "fine"]), default="fine", show_default=True,
    help="How finely light is followed through the stones for the warnings.",
)  # fmt: skip
@with_output
@click.pass_context
def order(ctx: click.Context, /, **given: Any) -> None:
    """Choose the cheapest packs among OFFERS (CSV or XLSX) that cover a job, in time and within its budget.

    Warnings come first, then the list, what it costs, when it arrives and what to ask each seller.
    Nothing is bought or sent. Where a warning says to look at a stone first, the plan is a sample now and
    the rest later, if there is time. A job that names its file of offers needs no OFFERS.

    The exit status is 1 if there is a severe warning that nobody has accepted, or the order cannot be
    made or is incomplete; 2 if something cannot be read; and 0 otherwise.
    """
    from planner.cli import ordering

    if not ordering.show(**given):
        ctx.exit(SEVERE)
