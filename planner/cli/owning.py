"""The drawer, for ``planner drawer``."""

from pathlib import Path

import click

from planner.cli.at_hand import palette_of
from planner.cli.text import tell
from planner.order.drawer import drawer_file, owned, read_drawer
from planner.refusal import Refusal
from planner.refusal import show as quoted
from planner.say.drawer import drawer_document


def show(
    path: Path | None, *, more: int | None, count: int | None, palettes: Path | None, as_data: bool
) -> None:  # fmt: skip
    """Print the lots, or the question for more of one."""
    if path is not None and not path.exists():
        raise Refusal(f"--file: found {quoted(str(path))}; there is no such file")
    palette, file = palette_of(palettes), path or drawer_file()
    lots = owned(read_drawer(file, palette), palette)
    if more is not None and more > len(lots):
        raise click.BadParameter(f"found {more}; the drawer has {len(lots)} lots", param_hint="--more")
    tell(drawer_document(lots, file, more, count), as_data=as_data)
