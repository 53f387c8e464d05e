"""A person's own entries: added, changed, copied, renamed and removed, each file's other lines untouched.

Every step returns a `Step`, which says what was done and takes it back. Nothing that is not hers is changed:
the demo and what is commonly sold stay as they are.
"""

from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import Final, Literal, TypeAlias, TypeVar

from planner import atomic
from planner.catalogue.errors import suggest
from planner.catalogue.fields import Entry
from planner.catalogue.keep import id_named, own_file
from planner.catalogue.palette import Palette, commonly_sold, field_of, own_of
from planner.catalogue.palette_file import PaletteFile, kind_of, new_palette_file, read_palette_file
from planner.refusal import Refusal, show

EntryT = TypeVar("EntryT", bound=Entry)

Whose: TypeAlias = Literal["own", "common", "demo"]

GROUPS: Final[dict[Whose, str]] = {
    "own": "Yours",
    "common": "Commonly sold, maker unknown",
    "demo": "The demo's: invented, to try the planner with",
}
"""Headings of lists, in their order."""


def with_kept(palette: Palette, path: Path) -> Palette:
    """Return a palette with a file of one's own as it is now."""
    now = read_palette_file(path)
    same = (one for one in palette.files if one.path.resolve() == path.resolve())
    return after(palette, next(same, replace(now, entries=())), now)


@dataclass(frozen=True)
class Step:
    """Something that was done to a file of a person's own."""

    entry: Entry
    """The entry as it is now, or as it was where it was removed."""
    before: PaletteFile
    after: PaletteFile

    def back(self) -> PaletteFile:
        """Take it back, and return the file as it is then.

        Raises
        ------
        Refusal
            If the file changed meanwhile.

        """
        return self.before.save_over(self.after)


def is_own(palette: Palette, kind: str, entry_id: str) -> bool:
    """Say whether an entry is a person's own, and not the demo's or one that is commonly sold."""
    return (kind, entry_id) in palette.own


def whose(palette: Palette, kind: str, entry_id: str) -> Whose:
    """Return whether an entry is a person's own, one that is commonly sold, or the invented demo's."""
    if is_own(palette, kind, entry_id):
        return "own"
    return "demo" if any((kind, entry_id) in file.lines for file in palette.files) else "common"


def in_groups(palette: Palette, kind: str) -> dict[Whose, list[Entry]]:
    """Return the entries of a kind by whose they are, hers first.

    The demo's stones, coatings and swatches are left out where they are hidden; its venues and cuts are not.
    """
    hidden = palette.mine and kind not in {"venue", "cut"}
    found: dict[Whose, list[Entry]] = {one: [] for one in GROUPS if one != "demo" or not hidden}
    for one in palette.entries(kind).values():
        if (group := whose(palette, kind, one.id)) in found:
            found[group].append(one)
    return {group: entries for group, entries in found.items() if entries}


def after(palette: Palette, before: PaletteFile, now: PaletteFile) -> Palette:
    """Return a palette as it is read anew once one of its files has changed.

    Parameters
    ----------
    palette
        As it was.
    before, now
        The file as it was, without entries where it is new; and as it is.

    """
    path = now.path.resolve()
    files = [now if one.path.resolve() == path else one for one in palette.files]
    if all(one.path.resolve() != path for one in palette.files):
        files.append(now)
    found = {}
    for kind in {kind_of(one) for one in (*before.entries, *now.entries)}:
        gone = {one.id for one in before.entries if kind_of(one) == kind}
        new = {one.id: one for one in now.entries if kind_of(one) == kind}
        old = {one.id: new.get(one.id, one) for one in palette.entries(kind).values()
               if one.id in new or one.id not in gone}  # fmt: skip
        usual = {one.id: one for one in commonly_sold() if kind_of(one) == kind}
        found[field_of(kind)] = MappingProxyType(
            {**old, **new, **{key: one for key, one in usual.items() if key not in {*old, *new}}}
        )
    return replace(palette, files=tuple(files), own=own_of(files), **found)  # type: ignore[arg-type]  # each of its own kind


def add(entry: Entry, palette: Palette, *, palettes: Path | None = None, over: bool = False) -> Step:
    """Add an entry to the file of its kind, or put it in place of hers of the same id.

    Raises
    ------
    Refusal
        If the id is taken and `over` is not asked for, or is the demo's; or the file cannot be used.

    """
    kind = kind_of(entry)
    if entry.id in palette.entries(kind):
        if not over:
            raise Refusal(
                f"there is a {kind} {show(entry.id)} already ({palette.origin(kind, entry.id)}); give this "
                "one another name"
            )
        file = _file_of(palette, kind, entry.id)
    else:
        path = own_file(kind, palettes)
        atomic.make_folder(path.parent)
        about = f"My own {path.stem}."
        file = read_palette_file(path) if path.exists() else new_palette_file(path, about)
    return Step(entry, file, file.with_entry(entry).save())


def id_for(
    palette: Palette, kind: str, name: str, *, over: bool = False, instead: str = "", but: str = ""
) -> str:
    """Return the id that an entry of hers is kept under, as `planner.catalogue.keep.id_named` does.

    The entry of the id `but` is left out: it is the one that is renamed.
    """
    known = {one: entry for one, entry in palette.entries(kind).items() if one != but}
    hers = {one for of, one in palette.own if of == kind}
    return id_named(name, kind, known, hers, over=over, instead=instead)


def named(entry: EntryT, name: str, entry_id: str) -> EntryT:
    """Return an entry under a new name and id."""
    return type(entry).model_validate({**entry.model_dump(exclude_unset=True), "name": name, "id": entry_id})


def copy(palette: Palette, kind: str, entry_id: str, name: str, *, palettes: Path | None = None) -> Step:
    """Add a copy of any entry under another name."""
    new = named(palette.entries(kind)[entry_id], name, id_for(palette, kind, name))
    return add(new, palette, palettes=palettes)


def change(entry: Entry, palette: Palette) -> Step:
    """Put an entry in place of hers of the same id."""
    file = _file_of(palette, kind_of(entry), entry.id)
    return Step(entry, file, file.with_entry(entry).save())


def rename(palette: Palette, kind: str, entry_id: str, name: str) -> Step:
    """Give an entry of hers another name; its id stays, since jobs name it."""
    file = _file_of(palette, kind, entry_id)
    id_for(palette, kind, name, but=entry_id)
    new = named(palette.entries(kind)[entry_id], name, entry_id)
    return Step(new, file, file.renamed(kind, entry_id, new).save())


def remove(palette: Palette, kind: str, entry_id: str) -> Step:
    """Remove an entry of hers.

    Raises
    ------
    Refusal
        If it is not hers, or something of hers needs it.

    """
    file = _file_of(palette, kind, entry_id)
    if kind == "cut":
        users = [one.name for one in palette.stones.values() if one.cut == entry_id]
        if users:
            more = f" and {len(users) - 1} more" if len(users) > 1 else ""
            raise Refusal(f"cut {show(entry_id)}: {users[0]}{more} has it; remove or change that first")
    old = palette.entries(kind)[entry_id]
    return Step(old, file, file.without_entry(kind, entry_id).save())


def _file_of(palette: Palette, kind: str, entry_id: str) -> PaletteFile:
    """Return the file of an entry of hers, as it is on the disk now."""
    known = palette.entries(kind)
    if entry_id not in known:
        raise Refusal(f"there is no {kind} {show(entry_id)}; {suggest(entry_id, known)}")
    if not is_own(palette, kind, entry_id):
        raise Refusal(
            f"the {kind} {show(entry_id)} comes with the planner and stays as it is; make a copy of it "
            "under a name of your own, and change that"
        )
    return read_palette_file(palette.origin(kind, entry_id).path)
