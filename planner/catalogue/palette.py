"""A palette: every stone, coating, cut, venue and swatch at hand, from several files.

Where entries come from, and which wins: none wins. An id is unique within its kind over all files
read, and a second one is an error that names both files, so a number on the screen never comes
from another file than the one a person looks at. Three sources are read together: the invented
demo, the person's own folder, and the palette files beside the job. Whoever copies the demo to
change it starts with ``--palettes FOLDER``, which takes the place of both the demo and the own
folder; the files beside the job are read in either case. What is commonly sold (`COMMON`: cuts, and
coatings known by a trade word alone) is there with every palette, and gives way to an entry of the same id.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar, cast

import platformdirs

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.errors import suggest
from planner.catalogue.fields import Entry
from planner.catalogue.palette_file import KINDS, PaletteFile, kind_of, read_palette_file
from planner.catalogue.stone import Stone
from planner.catalogue.swatch import Swatch
from planner.catalogue.venue import Venue
from planner.data import demo, shared
from planner.refusal import Refusal, show

BESIDE_JOB = "*.palette.toml"
"""Names of the palette files that are read from the folder of a job."""

COMMON = "common_palette.toml"
"""Name of the table of what is commonly sold."""

EntryT = TypeVar("EntryT", bound=Entry)

MAX_FILES = 200
"""Most files of one folder."""


@dataclass(frozen=True)
class Origin:
    """Where an entry was read."""

    path: Path
    """Its file."""

    line: int | None
    """Line of its header, from 1; None where it has no header of its own."""

    def __str__(self) -> str:
        return f"{self.path} line {self.line}" if self.line else str(self.path)


@dataclass(frozen=True)
class Palette:
    """All entries by id, in the order they were read."""

    stones: Mapping[str, Stone]
    coatings: Mapping[str, Coating]
    cuts: Mapping[str, Cut]
    venues: Mapping[str, Venue]
    swatches: Mapping[str, Swatch]
    files: tuple[PaletteFile, ...]
    """The files it was read from."""
    own: frozenset[tuple[str, str]] = frozenset()
    """Kind and id of every entry that is a person's own: not the demo's, nor common to all palettes."""
    mine: bool = False
    """Whether only what is hers, or commonly sold, is offered and ranked; jobs may have what they like."""

    @cached_property
    def offered(self) -> "Palette":
        """The palette with only those stones, coatings, swatches and venues that are offered.

        Where no stone, coating or venue would be left all of them are.
        """
        if not self.mine:
            return self
        common = {(kind_of(one), one.id) for one in commonly_sold()}

        def left(kind: str, every: Mapping[str, EntryT]) -> Mapping[str, EntryT]:
            return {key: one for key, one in every.items() if (kind, key) in self.own | common} or every

        films = {key: one for key, one in self.coatings.items() if key not in self.hers_for}
        return replace(
            self, stones=left("stone", self.stones), coatings=left("coating", films),
            swatches={key: one for key, one in self.swatches.items() if ("swatch", key) in self.own},
            venues=left("venue", self.venues),
        )  # fmt: skip

    @cached_property
    def hers_for(self) -> Mapping[str, str]:
        """Her own coating for each that is commonly sold, where just one of hers has that very film."""
        found = {}
        for one in commonly_sold():
            if isinstance(one, Coating) and ("coating", one.id) not in self.own:
                same = [
                    key for key, each in self.coatings.items()
                    if ("coating", key) in self.own and each.layers == one.layers
                ]  # fmt: skip
                if len(same) == 1:
                    found[one.id] = same[0]
        return found

    def entries(self, kind: str) -> Mapping[str, Entry]:
        """Return all entries of a `kind`: stone, coating, cut, venue or swatch."""
        return cast("Mapping[str, Entry]", getattr(self, field_of(kind)))

    def origin(self, kind: str, entry_id: str) -> Origin:
        """Return where an entry was read.

        Raises
        ------
        KeyError
            If there is no such entry.

        """
        for file in (*self.files, _common()):
            if any(one.id == entry_id and kind_of(one) == kind for one in file.entries):
                return Origin(file.path, file.lines.get((kind, entry_id)))
        raise KeyError(f"{kind} {entry_id}")


def own_of(files: Iterable[PaletteFile]) -> frozenset[tuple[str, str]]:
    """Return kind and id of every entry of some files that is not the demo's, nor common to all palettes."""
    demo_files, common = demo().resolve(), _common().path.resolve()
    return frozenset(
        (kind_of(entry), entry.id)
        for file in files
        if demo_files not in file.path.resolve().parents and file.path.resolve() != common
        for entry in file.entries
    )


def field_of(kind: str) -> str:
    """Return the field of a palette that holds a kind, which is what files are called too: swatches."""
    return f"{kind}es" if kind.endswith("ch") else f"{kind}s"


def commonly_sold() -> tuple[Entry, ...]:
    """Return what is commonly sold."""
    return _common().entries


def user_folder() -> Path:
    """Return the person's own folder of palettes; it need not exist."""
    return Path(platformdirs.user_data_dir("coated-stone-planner", appauthor=False)) / "palettes"


def sources(*, job: Path | None = None, palettes: Path | None = None) -> tuple[Path, ...]:
    """Return the folders and files to `load`.

    Parameters
    ----------
    job
        The job file, if any: palette files in its folder (`BESIDE_JOB`) are read too.
    palettes
        What ``--palettes`` names, if given: read instead of the demo and the person's own folder.

    """
    own = (user_folder(),) if any(user_folder().glob("*.toml")) else ()
    first = (demo(), *own) if palettes is None else (palettes,)
    folder = None if job is None else job.resolve().parent
    # A job kept in a folder that is read anyway must not bring its files a second time.
    read = {path.resolve() for path in first}
    return first + (() if folder is None or folder in read else tuple(sorted(folder.glob(BESIDE_JOB))))


def load(
    *places: Path, materials: Collection[str] | None = None, colourants: Collection[str] | None = None
) -> Palette:
    """Return the palette of all `places`: files, and folders of ``*.toml`` files.

    Parameters
    ----------
    places
        Files and folders; `sources` says which are usual.
    materials, colourants
        Names that layers and bodies may use; those that `planner.optics` knows when not given.

    Raises
    ------
    Refusal
        For the first fault found: a file that cannot be used, an id twice, or a name that nothing
        has (cut, film material, colourant).

    """
    files = tuple(read_palette_file(path) for place in places for path in _files(place))
    found: dict[str, dict[str, Entry]] = {kind: {} for kind in KINDS}
    where: dict[tuple[str, str], Path] = {}
    for file in files:
        for entry in file.entries:
            key = kind_of(entry), entry.id
            if key in where:
                raise Refusal(
                    f"{_at(file, entry)}: found an id that {where[key]} has already; rename one, or start "
                    "with --palettes FOLDER to leave the demo and your own folder out"
                )
            where[key] = file.path
            found[key[0]][entry.id] = entry
    common = _common()
    for entry in common.entries:
        found[kind_of(entry)].setdefault(entry.id, entry)
    palette = Palette(
        stones=MappingProxyType(cast("dict[str, Stone]", found["stone"])),
        coatings=MappingProxyType(cast("dict[str, Coating]", found["coating"])),
        cuts=MappingProxyType(cast("dict[str, Cut]", found["cut"])),
        venues=MappingProxyType(cast("dict[str, Venue]", found["venue"])),
        swatches=MappingProxyType(cast("dict[str, Swatch]", found["swatch"])),
        files=files,
        own=own_of(files),
    )
    if materials is None or colourants is None:
        from planner.optics.glass import COLOURANTS
        from planner.optics.materials import MATERIALS

        materials = MATERIALS if materials is None else materials
        colourants = COLOURANTS if colourants is None else colourants
    _check_names(palette, materials, colourants)
    return palette


@cache
def _common() -> PaletteFile:
    return read_palette_file(shared(COMMON))


def _files(place: Path) -> list[Path]:
    """Return the palette files at `place`."""
    if not place.is_dir():
        return [place]
    try:
        files = sorted(path for path in place.glob("*.toml") if not path.name.startswith("."))
    except OSError as problem:
        raise Refusal(f"{place}: cannot be read ({problem.strerror}); a readable folder is needed") from None
    if not files:
        raise Refusal(f"{place}: found no palette file in this folder; their names end in .toml")
    if len(files) > MAX_FILES:
        raise Refusal(f"{place}: found {len(files)} palette files; a folder may have at most {MAX_FILES}")
    return files


def _at(file: PaletteFile, entry: Entry) -> str:
    kind = kind_of(entry)
    return f"{Origin(file.path, file.lines.get((kind, entry.id)))}, {kind} {show(entry.id)}"


def _check_names(palette: Palette, materials: Collection[str], colourants: Collection[str]) -> None:
    """Refuse the first name that nothing has."""
    for file in palette.files:
        for entry in file.entries:
            for field, name, known in _names(entry, palette, materials, colourants):
                if name not in known:
                    what = {"cut": "cut", "colourants": "colourant"}.get(field, "film material")
                    raise Refusal(
                        f"{_at(file, entry)}, field {field}: found {show(name)}; there is no such {what}: "
                        f"{suggest(name, known)}"
                    )


def _names(
    entry: Entry, palette: Palette, materials: Collection[str], colourants: Collection[str]
) -> list[tuple[str, str, Collection[str]]]:
    """Return (field, name, known names) for every name that `entry` takes from elsewhere."""
    if isinstance(entry, Stone):
        used = [("colourants", name, colourants) for name in entry.colourants or ()]
        return [("cut", entry.cut, palette.cuts), *used]
    if isinstance(entry, Coating):
        return [
            (f"layers[{place}].material", one.material, materials) for place, one in enumerate(entry.layers)
        ]
    return []
