"""Entries of a person's own, kept: the file they go to, an id that is free, and adding them to it."""

import re
import unicodedata
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

from planner.catalogue.fields import Entry
from planner.catalogue.find import key
from planner.catalogue.palette import field_of, user_folder
from planner.catalogue.palette_file import PaletteFile, kind_of, new_palette_file, read_palette_file
from planner.refusal import InvalidValue, Refusal, show

_FIRST = ", 1 of "
"""What stands in the name of the first of several films that one look left (`planner.fitting.coating`)."""

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


def id_named(
    name: str, kind: str, known: Mapping[str, Entry], hers: Collection[str], *,
    over: bool = False, instead: str = "", taken: Collection[str] = (),
) -> str:  # fmt: skip
    """Return the id that an entry is kept under: nobody types one, it is made from the name.

    Parameters
    ----------
    name, kind
        Of the entry, as its owner says it.
    known, hers
        Entries of that kind by id, and which of them are a person's own.
    over
        Whether the entry is put in place of hers of that name.
    instead
        How a person says that, as the end of a sentence.
    taken
        Further ids that are taken.

    Raises
    ------
    Refusal
        If there is no name, or something has it already and is not to be replaced.

    """
    wanted = key(name)
    if not wanted:
        raise InvalidValue(
            f"found {show(name)}; a name has letters or digits in it, such as Sash or Market AB"
        )
    # Films of one card are kept as several entries, and replaced together.
    same = [
        one for one in known.values()
        if wanted in {key(one.name), key(one.id)} or key(one.name).startswith(f"{wanted} {key(_FIRST)}")
    ]  # fmt: skip
    if not same:
        return free_id(name, {*known, *taken}, kind)
    old = same[0]
    if old.id not in hers:
        raise Refusal(
            f"a {kind} called {show(name)} comes with the planner ({old.name}) and stays as it is; give "
            f"yours another name, such as My {name}"
        )
    if not over:
        raise Refusal(
            f"you have a {kind} called {show(old.name)} already; give this one another name{instead}"
        )
    return old.id.removesuffix("-a") if _FIRST in old.name else old.id


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
