"""The parts that an answer is told in, without a word on how they look."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:  # a listing reads nothing, and all that readings need takes a quarter of a second to import
    from planner.reading.concern import Severity
    from planner.reading.leeway import Leeway

Tone: TypeAlias = Literal["plain", "quiet", "strong", "good", "bad", "unsure"]
"""What a sentence weighs; each voice has its own way to show it, and none rests on it alone."""


@dataclass(frozen=True)
class Sentence:
    """A paragraph."""

    text: str
    tone: Tone = "plain"
    hex: str = ""
    """A colour, "#rrggbb", that is shown before it where there are colours; its words tell it too."""


@dataclass(frozen=True)
class Item:
    """A paragraph of a list, with what belongs to it below."""

    text: str
    mark: str = ""
    """What it begins with, such as its number."""
    under: tuple["Part", ...] = ()
    hex: str = ""
    """A colour that is shown before it, as before a sentence."""


@dataclass(frozen=True)
class Warned:
    """A warning or caution: what is the matter, and what to do or who accepted it."""

    severity: "Severity"
    text: str
    do: str
    code: str = ""
    """By which a job accepts it; empty where it is not to be told."""
    about: str = ""
    """What of the job it is about, such as "lines 1, 3"; empty where that goes without saying."""
    accepted: tuple[str, ...] = ()
    """Sentences on who accepted it and why."""
    settled: bool = False
    """Whether it is accepted wherever it applies, so that what to do is of no more use."""


@dataclass(frozen=True)
class Patch:
    """A colour to look at, with what it is."""

    label: str
    hex: str
    """"#rrggbb"."""


@dataclass(frozen=True)
class Patches:
    """Colours that are to be compared: they touch."""

    of: tuple[Patch, ...]


@dataclass(frozen=True)
class Way:
    """How far one could go from the swatch, for where colours are shown; words beside it tell the answer."""

    leeway: "Leeway"


@dataclass(frozen=True)
class Bar:
    """A length, 0 to 1, beside others of its kind."""

    share: float
    label: str = ""
    hex: str | None = None


@dataclass(frozen=True)
class Column:
    """One column of a table."""

    title: str
    align: Literal["left", "right"] = "left"
    most: int | None = None
    """Cells at which a text is cut; None where it must be whole."""
    folds: bool = False
    """Whether a text goes on over lines where the table is too wide; one column of a table may."""


Cell: TypeAlias = str | Patch | Bar


@dataclass(frozen=True)
class Row:
    """One row of a table."""

    cells: tuple[Cell, ...]
    under: tuple["Part", ...] = ()
    """What belongs to it below."""


@dataclass(frozen=True)
class Table:
    """Rows under columns."""

    columns: tuple[Column, ...]
    """Without a heading, where none has a title."""
    rows: tuple[Row, ...]
    full: bool = False
    """Whether it is as wide as the page, so that the last columns of several stand in line."""


@dataclass(frozen=True)
class Command:
    """What can be typed next on the command line."""

    verb: str
    options: Mapping[str, object] = field(default_factory=dict, hash=False)
    """None leaves an option out."""


@dataclass(frozen=True)
class Literally:
    """A line to be copied as it is, such as one for a job file."""

    text: str


@dataclass(frozen=True)
class Drawn:
    """A picture, drawn for so many cells across."""

    lines: tuple[str, ...]
    """In letters."""
    pixels: NDArray[np.uint8] | None = field(default=None, compare=False)
    """The same in colours, shape (2 · lines, columns, 3), sRGB, for where they are shown; None for none."""


@dataclass(frozen=True)
class Section:
    """Parts under a heading of their own; without a heading, lines that belong together."""

    title: str
    parts: tuple["Part", ...]


Part: TypeAlias = (
    Sentence | Item | Warned | Patches | Way | Bar | Table | Command | Literally | Drawn | Section
)


@dataclass(frozen=True)
class Document:
    """An answer, put into words."""

    title: str
    parts: tuple[Part, ...]
    data: Mapping[str, Any] = field(default_factory=dict, hash=False)
    """The same answer as figures, for programs."""
    entered: bool = False
    """Whether the figures are a person's own, which are told digit for digit."""


def section(title: str, parts: Iterable[Part | None]) -> Section | None:
    """Return a section of those parts that there are; None where there are none."""
    found = tuple(one for one in parts if one is not None)
    return Section(title, found) if found else None


def document(title: str, parts: Iterable[Part | None], data: Mapping[str, Any] | None = None) -> Document:
    """Return a document of those parts that there are."""
    return Document(title, tuple(one for one in parts if one is not None), data or {})
