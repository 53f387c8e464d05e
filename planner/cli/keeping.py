"""Entries that were found, put into a palette file whose every other line stays."""

import shlex
from collections.abc import Sequence
from pathlib import Path

import click

from planner.catalogue.fields import Entry
from planner.catalogue.keep import keep as add
from planner.catalogue.keep import make_folder, own_file
from planner.catalogue.palette import Palette, load, sources, user_folder
from planner.catalogue.palette_file import build, kind_of
from planner.cli import text


def place(save: str | None, to: Path | None, kind: str, palettes: Path | None = None) -> Path | None:
    """Return the file to keep an entry in; None where nothing is to be kept.

    Where ``--to`` names none, it is the one of that kind in the own folder, which every command reads, or
    in the folder of ``--palettes``.

    Raises
    ------
    click.UsageError
        For a file without an id.

    """
    if save is None:
        if to is not None:
            raise click.UsageError("--to: names a file to keep the entry in; give its id with --save")
        return None
    return own_file(f"{kind}s.toml", palettes) if to is None else to


def check(
    save: str | None, name: str | None, to: Path | None, kind: str, palettes: Path | None
) -> Path | None:
    """Refuse an id or a name that cannot be, before anything is worked out; return the `place`.

    Raises
    ------
    PaletteError, click.UsageError
        One sentence for the first fault.

    """
    to = place(save, to, kind, palettes)
    if save is not None:
        build(Entry, {"id": save, "name": "x", "basis": "estimated"}, "--save")
        # Several entries of one coating are told apart by two characters more.
        build(Entry, {"id": f"{save}-a", "name": "x", "basis": "estimated"}, "--save")
        build(Entry, {"id": save, "name": name or save, "basis": "estimated"}, "--name")
    return to


def keep(
    entries: Sequence[Entry], to: Path, palette: Palette | None = None, about: str = ""
) -> tuple[Entry, ...]:
    """Add new entries to a palette file, which is made if it is not there.

    Parameters
    ----------
    entries
        At least one.
    to
        The file.
    palette
        What is read anyway; loaded where `to` is in the own folder, since an id must not be there twice.
    about
        First line of a new file.

    Raises
    ------
    PaletteError
        If the palette, or the file, has such an id already (nothing a person has is written over), or the
        file cannot be read or written.

    """
    if to.parent == user_folder():
        palette = palette or load(*sources())
        make_folder(to)
    known = set() if palette is None else {
        one.id for one in entries if one.id in palette.entries(kind_of(one))
    }  # fmt: skip
    add(entries, to, about, known=known)
    return tuple(entries)


def kept(entries: Sequence[Entry], to: Path, palettes: Path | None = None) -> str:
    """Return where entries were kept, and what to type to have them read."""
    ids = ", ".join(one.id for one in entries)
    option = f"--{kind_of(entries[0])} {entries[0].id}"
    lead = f"Kept as {ids} in {to}, basis {entries[0].basis}. Use it with {option}"
    if to.parent == user_folder():
        return text.wrap(f"{lead}.")
    folder = shlex.quote(str(to.parent))
    if palettes is not None and to.resolve().parent == palettes.resolve():
        return text.wrap(f"{lead} --palettes {folder}.")
    return text.wrap(
        f"{lead} --palettes {folder}, a folder which then holds all that is read; without --to it is kept "
        "where every command looks."
    )
