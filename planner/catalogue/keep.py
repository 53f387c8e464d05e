"""Entries of a person's own, kept: the file they go to, an id that is free, and adding them to it."""

import re
import unicodedata
from collections.abc import Collection, Sequence
from pathlib import Path

from planner.catalogue.errors import show
from planner.catalogue.fields import Entry
from planner.catalogue.palette import field_of, user_folder
from planner.catalogue.palette_file import PaletteFile, kind_of, new_palette_file, read_palette_file
from planner.refusal import Refusal

_LONGEST = 50
"""Characters of an id made of a name; an id may have a few more."""


def own_file(kind: str, palettes: Path | None = None) -> Path:
    """Return the file for entries of a kind, such as ``swatch``.

    It lies in the own folder, or where ``--palettes`` says (that itself, if a file).
    """
    place = user_folder() if palettes is None else palettes
    return place if place.is_file() else place / f"{field_of(kind)}.toml"


def free_id(name: str, taken: Collection[str], otherwise: str) -> str:
    """Return an id made of a name, "deep-blue" or "deep-blue-2", that nothing has yet.

    Where nothing is left of the name the id is `otherwise`, and it begins with that where the name begins
    with no letter.
    """
    plain = unicodedata.normalize("NFKD", name.casefold())
    letters = "".join(one for one in plain if not unicodedata.combining(one))
    bare = re.sub(r"[^a-z0-9]+", "-", letters).strip("-")[:_LONGEST].strip("-") or otherwise
    if not bare[0].isalpha():
        bare = f"{otherwise}-{bare}"
    tries = (bare, *(f"{bare}-{count}" for count in range(2, len(taken) + 3)))
    return next(one for one in tries if one not in taken)


def keep(entries: Sequence[Entry], path: Path, about: str = "", known: Collection[str] = ()) -> PaletteFile:
    """Add new entries to a palette file, which is made if it is not there; its other lines stay.

    Parameters
    ----------
    entries
        At least one.
    path
        The file; its folder must be there.
    about
        First line of a new file.
    known
        Ids that entries of that kind have elsewhere.

    Raises
    ------
    Refusal
        If an id is taken (nothing a person has is written over), or the file cannot be used.

    """
    file = read_palette_file(path) if path.exists() else new_palette_file(path, about)
    for one in entries:
        kind = kind_of(one)
        if one.id in known or (kind, one.id) in file.lines:
            raise Refusal(
                f"{path}: found a {kind} {show(one.id)} already; nothing was written, so choose another id"
            )
        file = file.with_entry(one)
    return file.save()
