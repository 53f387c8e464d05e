"""Entries that were found, put into a palette file whose every other line stays."""

from collections.abc import Sequence
from pathlib import Path

import click

from planner.catalogue.fields import Entry
from planner.catalogue.keep import keep as add
from planner.catalogue.palette import Palette
from planner.catalogue.palette_file import build, kind_of
from planner.cli import text


def check(save: str | None, name: str | None, to: Path | None) -> None:
    """Refuse an id, a name or a file that cannot be, before anything is worked out.

    Raises
    ------
    PaletteError, click.UsageError
        One sentence for the first fault.

    """
    if save is None:
        return
    if to is None:
        raise click.UsageError("--to: is missing; --save needs the palette file to put the entry in")
    build(Entry, {"id": save, "name": "x", "basis": "estimated"}, "--save")
    # Several entries of one coating are told apart by two characters more.
    build(Entry, {"id": f"{save}-a", "name": "x", "basis": "estimated"}, "--save")
    build(Entry, {"id": save, "name": name or save, "basis": "estimated"}, "--name")


def keep(entries: Sequence[Entry], to: Path, palette: Palette) -> tuple[Entry, ...]:
    """Add new entries to a palette file, which is made if it is not there.

    Raises
    ------
    PaletteError
        If the palette, or the file, has such an id already (nothing a person has is written over), or the
        file cannot be read or written.

    """
    known = {one.id for one in entries if one.id in palette.entries(kind_of(one))}
    add(entries, to, known=known)
    return tuple(entries)


def kept(entries: Sequence[Entry]) -> str:
    """Return what to say of entries that were saved."""
    ids = ", ".join(one.id for one in entries)
    return text.wrap(f"Saved as {ids}, basis {entries[0].basis}.")
