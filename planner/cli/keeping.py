"""Entries that were found, put into a palette file whose every other line stays."""

from collections.abc import Sequence
from pathlib import Path

import click

from planner.catalogue.errors import show
from planner.catalogue.fields import Entry
from planner.catalogue.palette import Palette
from planner.catalogue.palette_file import build, kind_of, new_palette_file, read_palette_file
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
    click.BadParameter
        If the palette, or the file, has such an id already: nothing a person has is written over.
    PaletteError
        If the file cannot be read or written.

    """
    file = read_palette_file(to) if to.exists() else new_palette_file(to)
    for one in entries:
        kind = kind_of(one)
        if one.id in palette.entries(kind) or (kind, one.id) in file.lines:
            raise click.BadParameter(
                f"found {show(one.id)}, which is the id of a {kind} already; choose another",
                param_hint="--save",
            )
        file = file.with_entry(one)
    file.save()
    return tuple(entries)


def kept(entries: Sequence[Entry]) -> str:
    """Return what to say of entries that were saved."""
    ids = ", ".join(one.id for one in entries)
    return text.wrap(f"Saved as {ids}, basis {entries[0].basis}.")
