"""What can be typed after ``planner brief``: the client's page."""

from pathlib import Path
from typing import Any

import click

from planner.cli.fields import OneOf, Whole
from planner.cli.order_commands import Day

_PATH = click.Path(path_type=Path)


@click.command("brief", short_help="Make the client's page of a job.")
@click.argument("jobs", type=_PATH, metavar="JOBFILE...", nargs=-1, required=True)
@click.option(
    "--to", "files", type=_PATH, multiple=True, metavar="FILE",
    help="Write it to this file: a name that ends in .pdf, .png or .txt. May be given several times. "
    "Of several jobs, each file's name begins with the job's. [plain text on the screen]",
)  # fmt: skip
@click.option("--replace", is_flag=True, help="Write over files that are there.")
@click.option(
    "--offers", type=_PATH, metavar="FILE",
    help="Offers (CSV or XLSX): also say what the stones come to and when they come (planner order).",
)  # fmt: skip
@click.option("--no-prices", is_flag=True, help="Of --offers, say only when the stones come.")
@click.option("--day", type=Day(), metavar="DATE", help="Reckon as if ordered on this day. [today]")
@click.option("--with-note", is_flag=True, help="Print the job's note for the client too.")
@click.option(
    "--in-full", "full", type=Whole(min=1), multiple=True, metavar="NUMBER",
    help="Show this line of the job first and in full: one or two of them. [1 and 2]",
)  # fmt: skip
@click.option(
    "--grade", type=OneOf(["quick", "fine"]), default="fine", show_default=True,
    help="How finely light is followed through the stone. quick: rougher and faster.",
)  # fmt: skip
@click.option(
    "--palettes", type=_PATH, metavar="FOLDER",
    help="Read this folder of palette files instead of the demo and your own folder.",
)  # fmt: skip
@click.option("--json", "as_data", is_flag=True, help="Print JSON, for programs.")
def brief(**given: Any) -> None:
    """Make the page that a client reads, agrees to and signs: PDF, PNG or plain text.

    It shows the stones on their cloth in the hand, from the seats and by daylight, says in plain words
    what to expect and how sure that is, and tells every warning. Numbers, dates and money are written as
    the job's locale has it, on the job's paper.
    """
    from planner.cli import briefing

    briefing.make(**given)
