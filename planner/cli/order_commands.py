"""What can be typed after ``planner order``."""

from datetime import date
from pathlib import Path
from typing import Any

import click

from planner.cli.fields import OneOf
from planner.cli.guard import SEVERE, quoted

_PATH = click.Path(path_type=Path)


class Day(click.ParamType):  # type: ignore[type-arg]  # generic only in recent click
    """A day of the calendar."""

    name = "day"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Return it."""
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(str(value))
        except ValueError:
            self.fail(f"found {quoted(str(value))}; a day is written like 2031-01-31", param, ctx)


@click.command("order", short_help="Choose the packs to buy for a job.")
@click.argument("job", type=_PATH, metavar="JOBFILE")
@click.argument("offers", type=_PATH, metavar="[OFFERS]", required=False)
@click.option(
    "--stock", type=_PATH, metavar="FILE", help="Stones in the drawer, which are used first. [the job's]"
)
@click.option("--use-stock", is_flag=True,
              help="Count down in --stock what this order takes from it; a backup is kept.")  # fmt: skip
@click.option("--mix-sellers", is_flag=True,
              help="Allow one pairing in one size to come from several sellers.")  # fmt: skip
@click.option("--csv", "out", type=_PATH, metavar="FILE", help="Also write the list as a new CSV file.")
@click.option("--day", type=Day(), metavar="DATE", help="Reckon as if ordered on this day. [today]")
@click.option(
    "--grade", type=OneOf(["quick", "fine"]), default="fine", show_default=True,
    help="How finely light is followed through the stones for the warnings.",
)  # fmt: skip
@click.option(
    "--palettes", type=_PATH, metavar="FOLDER",
    help="Read this folder of palette files instead of the demo and your own folder.",
)  # fmt: skip
@click.option("--json", "as_data", is_flag=True, help="Print JSON, for programs.")
@click.pass_context
def order(ctx: click.Context, /, **given: Any) -> None:
    """Choose the cheapest packs among OFFERS (CSV or XLSX) that cover a job, in time and within its budget.

    Warnings come first, then the list, what it costs, when it comes and what to ask each seller. Nothing
    is bought or sent. Where a warning advises to see a stone first, a sample is ordered now and the rest
    later, if there is time. A job that names its file of offers needs no OFFERS.

    The exit status is 1 if a severe warning stands that nobody has accepted, or the order cannot be made
    or is not whole; 2 if something cannot be read; and 0 otherwise.
    """
    from planner.cli import ordering

    if not ordering.show(**given):
        ctx.exit(SEVERE)
