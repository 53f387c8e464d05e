"""Entries that were found, put under a name into a palette file whose every other line stays."""

import re
import shlex
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import click

from planner import atomic
from planner.catalogue.cut import Cut
from planner.catalogue.errors import build
from planner.catalogue.fields import Entry
from planner.catalogue.keep import id_named, own_file
from planner.catalogue.palette import BESIDE_JOB, Palette, user_folder
from planner.catalogue.palette_file import kind_of, new_palette_file, read_palette_file
from planner.catalogue.stone import Stone
from planner.cli.at_hand import palette_of
from planner.refusal import Refusal
from planner.say.as_text import plain

REPLACE = ", or put it in that one's place with --replace"
"""How a name that hers has already is taken all the same."""


@dataclass(frozen=True)
class Keeping:
    """What is asked of keeping: under which name, where, and whether in place of hers of that name."""

    name: str
    to: Path | None
    """As ``--to``; None for the file of its kind in the own folder, or in `palettes`."""
    over: bool
    palettes: Path | None = None
    """As ``--palettes``."""

    def file(self, kind: str) -> Path:
        """Return the file that an entry of a kind goes to."""
        return own_file(kind, self.palettes) if self.to is None else self.to

    def id(self, kind: str, palette: Palette | None = None) -> str:
        """Return the id of an entry of a kind, made from the name.

        Parameters
        ----------
        kind
            Such as "swatch".
        palette
            What is read, where it is at hand.

        Raises
        ------
        Refusal
            If something has that name already and is not to be replaced, or the file cannot be read.

        """
        file = self.file(kind)
        if self.to is None or file.parent == user_folder():
            palette = palette or palette_of(self.palettes)
            hers = {one for of, one in palette.own if of == kind}
            return id_named(self.name, kind, palette.entries(kind), hers, over=self.over, instead=REPLACE)
        there = read_palette_file(file).entries if file.exists() else ()
        known = {one.id: one for one in there if kind_of(one) == kind}
        taken = () if palette is None else tuple(palette.entries(kind))
        return id_named(self.name, kind, known, known, over=self.over, instead=REPLACE, taken=taken)

    def keep(self, entries: Sequence[Entry], about: str = "", with_them: Sequence[Entry] = ()) -> str:
        """Put entries, and before them those that they rest on, into the file, which is made if need be.

        `about` begins a new file. Returns where they were kept and how to use them: a paragraph.

        Raises
        ------
        Refusal
            If the file cannot be read or written.

        """
        kind, first = kind_of(entries[0]), entries[0].id
        path = self.file(kind)
        if path.parent == user_folder():
            atomic.make_folder(path.parent)
        file = read_palette_file(path) if path.exists() else new_palette_file(path, about)
        base = first.removesuffix("-a") if len(entries) > 1 else first
        before = [
            one for one in file.entries
            if self.over and kind_of(one) == kind
            and (one.id == base or (one.id.startswith(f"{base}-") and re.search(r", \d+ of \d+$", one.name)))
        ]  # fmt: skip
        for one in before:
            file = file.without_entry(kind, one.id)
        for one in (*with_them, *entries):
            file = file.with_entry(one)
        file.save()
        return self._told(entries, path, with_them, replaced=bool(before))

    def _told(
        self, entries: Sequence[Entry], path: Path, with_them: Sequence[Entry], *, replaced: bool
    ) -> str:
        names = " and ".join(f"{one.name} ({one.id})" for one in entries)
        option = f"--{kind_of(entries[0])} {entries[0].id}"
        copied = "".join(
            f" Its {kind_of(one)} {one.id} was copied there too, as that folder had none."
            for one in with_them
        )
        place = " in place of what was there" if replaced else ""
        lead = (
            f"Kept{place}: {names}, basis {entries[0].basis}, in {plain(path)}.{copied} Use it with {option}"
        )
        if path.parent == user_folder():
            return f"{lead}."
        folder = shlex.quote(plain(path.parent))
        if self.palettes is not None and path.resolve().parent == self.palettes.resolve():
            return f"{lead} --palettes {folder}."
        return (
            f"{lead} --palettes {folder}, a folder which then holds all that is read; without --to it is "
            "kept where every command looks."
        )


def keeping(save: str | None, to: Path | None, *, over: bool, palettes: Path | None = None) -> Keeping | None:
    """Return what is asked of keeping; None where nothing is to be kept.

    Raises
    ------
    click.UsageError, Refusal
        For a file, or a wish to replace, without a name; or a name that cannot be.

    """
    if save is None:
        if to is not None or over:
            option = "--to" if to is not None else "--replace"
            raise click.UsageError(f"{option}: belongs to what is kept; give its name with --save")
        return None
    name = " ".join(save.split())
    build(Entry, {"id": "x", "name": name, "basis": "estimated"}, "--save")
    return Keeping(name, to, over, palettes)


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
