"""What can be typed after ``planner brief``: the client's page."""

from typing import Any

import click

from planner.cli.fields import Whole
from planner.cli.options import PATH, with_day, with_grade, with_output


@click.command("brief", short_help="Make the client's page of a job.")
@click.argument("jobs", type=PATH, metavar="JOBFILE...", nargs=-1, required=True)
@click.option(
    "--to", "files", type=PATH, multiple=True, metavar="FILE",
    help="Write it to this file: a name that ends in .pdf, .png or .txt. May be given several times. "
    "Of several jobs, each file's name begins with the job's. [plain text on the screen]",
)  # fmt: skip
@click.option(
    "--phone", type=PATH, metavar="FILE.png",
    help="Also write a tall picture, to send as a message, to this file: the stones, the answer and the "
    "warnings.",
)  # fmt: skip
@click.option("--replace", is_flag=True, help="Write over files that are there.")
@click.option(
    "--offers", type=PATH, metavar="FILE",
    help="Offers (CSV or XLSX): also say what the stones cost and when they arrive (planner order).",
)  # fmt: skip
@click.option("--no-prices", is_flag=True, help="With --offers, say only when the stones arrive.")
@click.option(
    "--quote", is_flag=True,
    help="Print a quote: the stones of --offers, hours at the job's hourly_rate, and the job's quote.",
)  # fmt: skip
@with_day
@click.option("--with-note", is_flag=True, help="Print the job's note for the client too.")
@click.option(
    "--in-full", "full", type=Whole(min=1), multiple=True, metavar="NUMBER",
    help="Show this line of the job first and in full: one or two of them. [1]",
)  # fmt: skip
@with_grade("fine")
@with_output
def brief(**given: Any) -> None:
    """Make the page that a client reads, agrees to and signs: PDF, PNG or plain text.

    First it shows the stones on their cloth from the seats and in the hand by a window, then the costume,
    where the job has an outline; then it says in plain words what to expect and how sure that is, with
    every warning. Beside a pairing that is not safe it shows one that is. Numbers, dates and money are
    written in the style of the job's locale, on the job's size of paper.
    """
    from planner.cli import briefing

    briefing.make(**given)
