"""A job's brief as a file or as a picture: what a screen and a command ask for."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from PIL import Image

from planner.brief.content import ROOMS, Room, content, in_full
from planner.brief.figures import Figures
from planner.brief.gather import Gathered
from planner.brief.messages import Messages, messages
from planner.brief.pictures import dressed_picture, pictures, png
from planner.brief.plain import plain
from planner.brief.save import save
from planner.brief.setting import PPI, Setter
from planner.brief.wording import Wording
from planner.refusal import Refusal
from planner.say.names import numbered

MOST_PAGES: Final = 2
"""Pages of a brief, whatever the job."""

PHONE: Final = 1080
"""Pixels across a picture for a message, as telephones show it whole."""

_GAP = 24
"""Pixels between two pages in one picture."""


@dataclass(frozen=True, eq=False)
class Brief:
    """A brief, set: its words, and everything needed to make a file of it."""

    data: dict[str, Any]
    """As `planner.brief.content.content` returns it; every letter of it can be printed."""
    whole: dict[str, Any]
    """The same before letters that no font has were replaced: for plain text."""
    pages: int
    squeezed: tuple[int, ...]
    """Numbers of lines that somebody asked for in full and for which two pages have no room."""
    pictures: dict[str, bytes]
    """PNG files by name."""

    @property
    def no_room(self) -> str:
        """Say which of them; empty where there is none."""
        lines = numbered(self.squeezed)
        return f"Two pages have no room to show {lines} in full." if self.squeezed else ""

    def pdf(self) -> bytes:
        """Return the PDF."""
        with Setter(self.pictures) as setter:
            return setter.pdf(self.data)

    def images(self, ppi: float = PPI) -> tuple[Image.Image, ...]:
        """Return every page as an RGB image."""
        with Setter(self.pictures) as setter:
            return setter.pages(self.data, ppi)

    def phone(self) -> Image.Image:
        """Return a tall picture for a message, `PHONE` pixels wide: pictures first, then the answer."""
        with Setter(self.pictures, "phone.typ") as setter:
            # A point of the template is a pixel.
            return setter.pages(self.data, 72.0)[0]

    def text(self) -> str:
        """Return it as plain text."""
        return plain(self.whole)


def drawings(told: Gathered) -> dict[str, bytes]:
    """Return the pictures of the lines that are shown in full, as PNG files by name."""
    drawn = {
        f"{one.number}-{name}.png": data
        for one in in_full(told)
        for name, data in vars(pictures(one.reading.question)).items()
    }
    if told.dress is not None:
        asked = {one.line: one.reading.question for one in told.lines}
        drawn["costume.png"] = dressed_picture(told.dress, [asked[one] for one in told.dress.lines])
    return drawn


def brief(
    told: Gathered, *, note: bool = False, language: Messages | None = None,
    drawn: dict[str, bytes] | None = None,
) -> Brief:  # fmt: skip
    """Set what was gathered.

    Parameters
    ----------
    told
        From `planner.brief.gather.gather`.
    note
        Whether the job's note is printed.
    language
        Its words; those of the job's locale when not given, or English where they are not at hand.
    drawn
        Its `drawings`, where they are at hand: they take most of the time.

    Raises
    ------
    Refusal
        If the locale is not known, or nothing can be written in the system's temporary folder.

    """
    figures = Figures(told.job.locale)
    words = Wording(language or messages(figures.language), figures)
    drawn = drawings(told) if drawn is None else drawn
    try:
        with Setter(drawn) as setter:
            data, whole, pages = _fitted(told, words, setter, note=note)
    except OSError as problem:
        raise _no_room(problem) from None
    return Brief(data, whole, pages, told.asked[len(data["blocks"]) :], drawn)


def _fitted(
    told: Gathered, words: Wording, setter: Setter, *, note: bool
) -> tuple[dict[str, Any], dict[str, Any], int]:
    """Return the roomiest brief that fits its pages: printable, as it was, and the number of pages."""
    rooms = _rooms(told, words, setter, note=note)
    for left, room in zip(reversed(range(len(rooms))), rooms, strict=True):
        most = room.pages
        whole = content(told, words, room, note=note)
        # Looking for letters that no font has takes several times as long as counting pages.
        if left and setter.count(whole) > most:
            continue
        data, letters = setter.printable(whole)
        if letters:
            remark = words.say.say("page", "glyphs", letters=" ".join(f"U+{ord(one):04X}" for one in letters))
            data = {**data, "limits": [*data["limits"], remark]}
        pages = setter.count(data)
        if pages <= most:
            break
    return data, whole, pages


def _rooms(told: Gathered, words: Wording, setter: Setter, *, note: bool) -> Sequence[Room]:
    """Return the rooms to be tried: those of one page only if the tightest of them, the last, fits."""
    single = [room for room in ROOMS if room.pages == 1]
    if not single or setter.count(content(told, words, single[-1], note=note)) == 1:
        return ROOMS
    return [room for room in ROOMS if room.pages > 1]


def joined(pages: Sequence[Image.Image]) -> Image.Image:
    """Return pages one below the other."""
    if len(pages) == 1:
        return pages[0]
    high = sum(page.height for page in pages) + _GAP * (len(pages) - 1)
    whole = Image.new("RGB", (max(page.width for page in pages), high), "#8d8881")
    top = 0
    for page in pages:
        whole.paste(page, (0, top))
        top += page.height + _GAP
    return whole


def save_as(made: Brief, path: Path, *, replace: bool = False) -> None:
    """Write a brief to a file in the form that its name says; raises as `planner.brief.save.save`."""
    save(_file(made, path.suffix.lower()), path, replace=replace)


def save_phone(made: Brief, path: Path, *, replace: bool = False) -> None:
    """Write the tall picture to a PNG file; raises as `planner.brief.save.save`."""
    try:
        data = png(made.phone())
    except OSError as problem:
        raise _no_room(problem) from None
    save(data, path, replace=replace)


def _file(made: Brief, form: str) -> bytes:
    try:
        if form == ".txt":
            return made.text().encode("utf-8")
        return made.pdf() if form == ".pdf" else png(joined(made.images()))
    except OSError as problem:
        raise _no_room(problem) from None


def _no_room(problem: OSError) -> Refusal:
    return Refusal(
        f"the system's temporary folder: nothing can be written there ({problem.strerror or problem}); make "
        "room, or name another folder in the environment variable TMPDIR"
    )
