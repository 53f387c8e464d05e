"""Entries that were found, put into a palette file whose every other line stays."""

import shlex
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

import click

from planner import atomic
from planner.catalogue.cut import Cut
from planner.catalogue.errors import build
from planner.catalogue.fields import Entry
from planner.catalogue.keep import keep as add
from planner.catalogue.keep import own_file
from planner.catalogue.palette import BESIDE_JOB, Palette, load, sources, user_folder
from planner.catalogue.palette_file import kind_of, read_palette_file
from planner.catalogue.stone import Stone
from planner.refusal import Refusal
from planner.say.as_text import plain


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
    return own_file(kind, palettes) if to is None else to


def check(
    save: str | None, name: str | None, to: Path | None, kind: str, palettes: Path | None
) -> Path | None:
    """Refuse an id or a name that cannot be, before anything is worked out; return the `place`.

    Raises
    ------
    Refusal, click.UsageError
        One sentence for the first fault.

    """
    to = place(save, to, kind, palettes)
    if save is not None:
        build(Entry, {"id": save, "name": "x", "basis": "estimated"}, "--save")
        # Several entries of one coating are told apart by two characters more.
        build(Entry, {"id": f"{save}-a", "name": "x", "basis": "estimated"}, "--save")
        build(Entry, {"id": save, "name": name or save, "basis": "estimated"}, "--name")
    return to


def along(entries: Sequence[Entry], to: Path, palette: Palette) -> tuple[Entry, ...]:
    """Return the cuts that must be kept along with stones, so that their folder can be read by itself.

    What ``--palettes`` names takes the place of the demo and the own folder, so a stone there whose cut is
    elsewhere would stop every command. The own folder and palette files beside a job are read together
    with the demo, where a second cut of one id would be refused.
    """
    if to.parent == user_folder() or to.match(BESIDE_JOB):
        return ()
    there: set[str] = set()
    for path in to.parent.glob("*.toml"):
        with suppress(Refusal):  # some other program's file; whoever reads the folder is told of it
            there |= {one.id for one in read_palette_file(path).entries if isinstance(one, Cut)}
    wanted = dict.fromkeys(one.cut for one in entries if isinstance(one, Stone))
    return tuple(palette.cuts[one] for one in wanted if one not in there)


def keep(
    entries: Sequence[Entry],
    to: Path,
    palette: Palette | None = None,
    about: str = "",
    with_them: Sequence[Entry] = (),
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
    with_them
        What they rest on, as `along` has it, put before them.

    Raises
    ------
    Refusal
        If the palette, or the file, has such an id already (nothing a person has is written over), or the
        file cannot be read or written.

    """
    if to.parent == user_folder():
        palette = palette or load(*sources())
        atomic.make_folder(to.parent)
    known = set() if palette is None else {
        one.id for one in entries if one.id in palette.entries(kind_of(one))
    }  # fmt: skip
    add((*with_them, *entries), to, about, known=known)
    return tuple(entries)


def kept(
    entries: Sequence[Entry], to: Path, palettes: Path | None = None, with_them: Sequence[Entry] = ()
) -> str:
    """Return where entries were kept, what was copied there with them, and how to use them: a paragraph."""
    ids = ", ".join(one.id for one in entries)
    option = f"--{kind_of(entries[0])} {entries[0].id}"
    copied = "".join(
        f" Its {kind_of(one)} {one.id} was copied there too, as that folder had none." for one in with_them
    )
    lead = f"Kept as {ids} in {plain(to)}, basis {entries[0].basis}.{copied} Use it with {option}"
    if to.parent == user_folder():
        return f"{lead}."
    folder = shlex.quote(plain(to.parent))
    if palettes is not None and to.resolve().parent == palettes.resolve():
        return f"{lead} --palettes {folder}."
    return (
        f"{lead} --palettes {folder}, a folder which then holds all that is read; without --to it is kept "
        "where every command looks."
    )
