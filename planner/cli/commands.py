"""What can be typed: every command, its options and what they mean."""

import os
import sys
from pathlib import Path
from typing import Any

import click

from planner.cli.brief_commands import brief
from planner.cli.cover_commands import cover, fixing, sizes
from planner.cli.drawer_command import drawer
from planner.cli.fields import Day, Number, OneOf, Size, Tolerance, Whole
from planner.cli.guard import SEVERE, Commands
from planner.cli.offers_command import offers
from planner.cli.options import PATH, together, with_grade, with_output, with_palettes
from planner.cli.order_commands import order
from planner.cli.sample_commands import arrived, coating, cut, stone
from planner.cli.swatch_commands import swatch
from planner.cli.venue_commands import venue

# Nothing heavy is imported up here: each command imports its answer when it runs.

_with_match = together(
    click.option(
        "--swatch", required=True, metavar="ID|COLOUR",
        help="Colour to match: a swatch's id, or sRGB digits such as 2a4b9c.",
    ),
    click.option(
        "--cloth", metavar="ID|COLOUR",
        help="What the stones sit on, when it is not the swatch.",
    ),
    click.option("--venue", required=True, metavar="ID", help="Where the garment is seen."),
    click.option(
        "--distance", type=Number("a distance", "m", above=0.0, most=500.0), metavar="METRES",
        help="How far away the viewer is. [the venue's usual distance]",
    ),
    click.option(
        "--cover", type=Number("a cover", least=0.0, most=1.0), default=0.3, show_default=True,
        metavar="SHARE", help="Share of the cloth that stones cover, 0 to 1.",
    ),
    click.option(
        "--tolerance", type=Tolerance(), default="seats", show_default=True,
        metavar="arm|seats|family|NUMBER",
        help="How close to the swatch it must be: not to be told from it at arm's length, the same from "
        "the seats, the same colour in any depth (family), or a number of ΔE00.",
    ),
    click.option(
        "--wish", type=OneOf(["blend", "tone", "contrast"]), default="blend", show_default=True,
        help="Blend in with the swatch, keep its hue at another depth (tone), or stand out from it.",
    ),
)  # fmt: skip


def _version(ctx: click.Context, _param: click.Parameter, asked: bool) -> None:
    if asked and not ctx.resilient_parsing:
        from importlib.metadata import PackageNotFoundError, version

        try:
            click.echo(f"planner {version('coated-stone-planner')}")
        except PackageNotFoundError:
            click.echo("planner, run from a folder without being installed")
        ctx.exit()


@click.group(
    "planner",
    cls=Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="In a terminal, plain planner opens the screen. Without one, begin with: planner list stones",
)
@click.option("--version", is_flag=True, is_eager=True, expose_value=False, callback=_version,
              help="Say which version this is.")  # fmt: skip
@click.pass_context
def main(ctx: click.Context) -> None:
    """Say what a coated glass flat-back stone will look like on a costume, before you buy it.

    A stone with a coating is a pairing. The planner follows the light through film, glass and facets, and
    says what colour a pairing reads as on this cloth, in this light, from this far away; how far that is
    from your swatch; how sure that is; and what to order instead.
    """
    if os.environ.get("NO_COLOR"):
        ctx.color = False
    if ctx.invoked_subcommand is None:
        if not (sys.stdin.isatty() and sys.stdout.isatty()):
            click.echo(ctx.get_help())
            return
        from planner.app.run import run

        ctx.exit(run())


@main.command("open", short_help="Open a job on the screen, or in a browser.")
@click.argument("job", type=PATH, metavar="[JOBFILE]", required=False)
@click.option(
    "--browser", is_flag=True,
    help="Open it in a browser's window, where every colour is true. It ends when the window is closed.",
)  # fmt: skip
@click.option(
    "--address", metavar="ADDRESS",
    help="With --browser: serve at this address, for a browser elsewhere in your own network. "
    "[this computer alone]",
)  # fmt: skip
@with_palettes
@click.pass_context
def open_job(
    ctx: click.Context, job: Path | None, browser: bool, address: str | None, palettes: Path | None
) -> None:
    """Open a job file on the screen: choose, see, save. Without a file it asks what to begin with."""
    if address is not None and not browser:
        raise click.UsageError("--address: only together with --browser")
    if browser:
        from planner.app.browser.serve import in_browser

        ctx.exit(in_browser(job, palettes, address, click.echo))
    from planner.app.run import run

    ctx.exit(run(job, palettes))


@main.command("new", short_help="Begin a job: what to match, where, for whom.")
@click.argument("file", type=PATH, metavar="JOBFILE")
@click.option("--title", metavar="TEXT", help="What the costume is called. [asked]")
@click.option("--swatch", metavar="COLOUR",
              help="Colour to match: royal blue, 2a4b9c or a swatch's id. [asked]")  # fmt: skip
@click.option("--venue", metavar="VENUE", help="Where it is seen (planner list venues). [asked]")
@click.option("--size", type=Size(), default="SS20", show_default=True, metavar="SIZE",
              help="Size of the stones.")  # fmt: skip
@click.option("--wearer", type=OneOf(["adult", "12 or younger", "under 3"]), default="adult",
              show_default=True, help="Who wears it.")  # fmt: skip
@click.option("--event", type=Day(), metavar="DATE", help="The day it is first worn, such as 2031-03-14.")
@click.option("--wish", type=OneOf(["blend", "tone", "contrast"]), default="blend", show_default=True,
              help="Blend in, keep the hue at another depth, or stand out.")  # fmt: skip
@with_output
def new(**given: Any) -> None:
    """Begin a job in JOBFILE, on the best match of your own stones. It asks for whatever you leave out."""
    from planner.cli import new_job

    new_job.show(**given)


@main.command("tour", short_help="Be shown round on the screen, in five minutes.")
@click.pass_context
def tour(ctx: click.Context) -> None:
    """Walk through a costume of the demo on the screen, from swatch to the client's page.

    A strip on top says what you see and what to press next. It works on a copy, which is thrown away.
    """
    from planner.app.tour.run import run

    ctx.exit(run())


_with_mine = click.option(
    "--mine/--all", "mine", default=None,
    help="Without the demo's, or with them. [without, once you have a stone of your own]",
)  # fmt: skip


@main.command("list", short_help="Show what there is to choose from, with ids.")
@click.argument("kind", type=OneOf(["stones", "coatings", "venues", "swatches", "cuts"]))
@click.option("--origin", is_flag=True, help="Say which file and line each comes from.")
@_with_mine
@with_output
def list_entries(
    kind: str, origin: bool, mine: bool | None, palettes: Path | None, as_data: bool
) -> None:  # fmt: skip
    """Show the stones, coatings, venues, swatches or cuts at hand, with their ids: yours first."""
    from dataclasses import replace

    from planner.cli.at_hand import PLURALS, palette_of
    from planner.cli.text import tell, true_colour
    from planner.say.listing import listing_document

    one = next(word for word, plural in PLURALS.items() if plural == kind)
    palette = palette_of(palettes)
    shown = palette if mine is None else replace(palette, mine=mine)
    tell(
        listing_document(shown, one, origin=origin, patches=true_colour() and not as_data), as_data=as_data
    )  # fmt: skip


_with_unfoiled = click.option(
    "--unfoiled", is_flag=True,
    help="Rank stones without foil among the others. [after them: there the cloth shows through]",
)  # fmt: skip


@main.command("try", short_help="Read one pairing: stone, coating, size.")
@click.option("--stone", required=True, metavar="ID", help="The stone (planner list stones).")
@click.option("--coating", required=True, metavar="ID|none", help="Its coating, or none.")
@click.option("--size", required=True, type=Size(), metavar="SIZE", help="Its size, such as SS20.")
@_with_match
@click.option("--picture", type=PATH, metavar="FILE", help="Also draw it, as a PNG file.")
@click.option(
    "--film", type=PATH, metavar="FILE",
    help="Also draw it as it turns, as a WEBP file for a phone. Light flashes in it.",
)  # fmt: skip
@_with_unfoiled
@with_grade("fine")
@with_output
def try_pairing(**given: Any) -> None:
    """Read one pairing: what it will look like, how sure that is, and what to order instead."""
    from planner.cli import trying

    trying.show(**given)


@main.command("match", short_help="Rank every pairing against a swatch.")
@_with_match
@click.option(
    "--size", type=Size(), default="SS20", show_default=True, metavar="SIZE",
    help="Size to compare in; a stone that does not come in it is taken in the nearest that does.",
)  # fmt: skip
@click.option("--coated/--uncoated", "coated", default=None, help="Only coated, or only uncoated pairings.")
@click.option(
    "--material", type=OneOf(["acrylic", "glass", "lead-free crystal", "lead crystal"]),
    help="Only stones of this material.",
)  # fmt: skip
@_with_mine
@_with_unfoiled
@click.option(
    "--finish", type=OneOf(["plain", "metal", "dome"]),
    help="Only this finish: plain facets, a film like metal, or a dome.",
)  # fmt: skip
@click.option(
    "--top", type=Whole(1, 10000), default=10, show_default=True, metavar="N",
    help="How many to show.",
)  # fmt: skip
@click.option(
    "--mix",
    is_flag=True,
    help="Also offer mixes of two or three stones, where together they come closer than any alone.",
)
@with_grade("quick")
@with_output
def match(**given: Any) -> None:
    """Rank every stone with every coating by how well it does what you want beside a swatch."""
    from planner.cli import matching

    matching.show(**given)


@main.command("check", short_help="Read every line of a job file.")
@click.argument("job", type=PATH, metavar="JOBFILE")
@with_grade("fine")
@with_output
@click.pass_context
def check(ctx: click.Context, /, **given: Any) -> None:
    """Read every line of a job and show its warnings, accepted ones too.

    The exit status is 1 if there is a severe warning that nobody has accepted, 2 if something cannot be
    read, and 0 otherwise.
    """
    from planner.cli import checking

    if not checking.show(**given):
        ctx.exit(SEVERE)


for _command in (sizes, cover, fixing, swatch, coating, stone, cut, arrived):
    main.add_command(_command)
main.add_command(venue)
main.add_command(offers)
main.add_command(order)
main.add_command(drawer)
main.add_command(brief)


@main.command("demo", short_help="Write example files into a folder; hide the demo.")
@click.argument("folder", type=PATH, required=False)
@click.option("--hide/--show", "hidden", default=None,
              help="Offer none of the demo's stones and coatings any more, or offer them again.")  # fmt: skip
def demo(folder: Path | None, hidden: bool | None) -> None:
    """Write the invented palettes and jobs into FOLDER, for you to change."""
    from planner.cli import demo as demo_files
    from planner.cli.text import tell

    if folder is None and hidden is None:
        raise click.UsageError(
            "FOLDER: is missing; name a folder to write into, or say --hide or --show (planner demo --help)"
        )
    if hidden is not None:
        tell(demo_files.offered(hidden=hidden), as_data=False)
    if folder is not None:
        tell(demo_files.told(folder, demo_files.write(folder)), as_data=False)
