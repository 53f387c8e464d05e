"""Every pairing ranked, part by part of the stones, so that progress shows and leaving stops the work.

Single ones are read in full, flash and warnings, and put into the words of a row.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Final

from rich.text import Text

from planner.app.depth import Depth
from planner.app.parts.tones import SIGNS
from planner.app.second_process import SameProcess, SecondProcess, parcel, unpacked
from planner.assess import assess_question
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.colour.names import capped, hue_name_of
from planner.reading.drift import Difference
from planner.reading.matter import QUICK
from planner.reading.phrase import share
from planner.reading.question import Question
from planner.reading.rank import Ranked, rank
from planner.reading.read import Seen
from planner.reading.sentence import sentence
from planner.reading.warn import SEVERITIES, Concern

NO_FLASH: Final = "no sparkle"

SHORT: Final = {
    "glow-drifts": "too far off",
    "hardly-stands-out": "too alike",
    "flash-off-hue": "odd sparkle",
    "lots-straddle": "batches vary",
    "breaks-elsewhere": "fails afar",
    "lightness-apart": "looks dotted",
    "sizes-differ": "sizes differ",
    "shows-cloth": "cloth shows",
    "swatch-unsure": "swatch vague",
    "screen-cannot-show": "screen fails",
}
"""Each warning in a few words that fit a narrow column, by its code."""


@dataclass(frozen=True)
class Look:
    """What a full reading adds to a ranked pairing."""

    sentence: str
    flash: str
    """Dominant flash: "half green"; `NO_FLASH` where there is none."""
    family: str | None
    """Its hue family."""
    flash_share: float
    """Its share by luminance, 0 to 1."""
    concerns: tuple[Concern, ...]
    """Gravest first."""

    @property
    def warning(self) -> str:
        """The worst warning as mark and words; "none" without any."""
        if not self.concerns:
            return "  none"
        worst = self.concerns[0]
        return f"{SIGNS[worst.severity][0]} {SHORT[worst.code]}"

    @property
    def severe(self) -> bool:
        """Whether the worst warning is a severe one."""
        return bool(self.concerns) and self.concerns[0].severity == "severe"

    @property
    def gravity(self) -> tuple[int, str, int]:
        """By which warnings are sorted: none first, then notes, cautions and severe ones."""
        if not self.concerns:
            return -1, "", 0
        worst = self.concerns[0]
        return len(SEVERITIES) - SEVERITIES.index(worst.severity), worst.code, len(self.concerns)


def look_at(question: Question) -> Look:
    """Read a pairing at a first look's accuracy."""
    found = assess_question(question, QUICK)
    reading, concerns = found.reading, tuple(one for one, _ in found.concerns)
    if reading.flash is None:
        return Look(sentence(reading), NO_FLASH, None, 0.0, concerns)
    main = reading.flash.main
    amount = reading.flash.by_luminance[main]
    words = f"{share(amount).removeprefix('about ')} {main}"
    return Look(sentence(reading), words, main, amount, concerns)


UNCOATED: Final = "uncoated"


@dataclass(eq=False)
class Entry:
    """A row."""

    ranked: Ranked
    look: Look | None = None
    depth: Depth = "true"
    """What the console can show of its colours."""
    cells: dict[tuple[str, int], Text] = field(default_factory=dict)
    """What columns showed of it, by column and width, so that the next key need not write it anew."""

    @cached_property
    def seen(self) -> Seen:
        """The result with its name."""
        return self.ranked.seen

    @cached_property
    def hue_name(self) -> str:
        """The result's name without lightness and vividness."""
        return hue_name_of(capped(self.ranked.lab)[0])

    @cached_property
    def drift(self) -> Difference:
        """The result against the swatch."""
        return self.ranked.drift

    @property
    def stone(self) -> str:
        """The stone's name."""
        return self.ranked.question.stone.name

    @property
    def coating(self) -> str:
        """The coating's name, or `UNCOATED`."""
        coating = self.ranked.question.coating
        return UNCOATED if coating is None else coating.name

    @cached_property
    def words(self) -> str:
        """What it can be found by, lower case, a space before each word."""
        question = self.ranked.question
        said = (
            self.stone, self.coating, "" if question.coating is None else "coated", question.stone.material,
            question.size, self.seen.name, self.seen.family,
        )  # fmt: skip
        return " " + " ".join(said).lower().replace(",", "")

    def answers(self, typed: str) -> bool:
        """Say whether every word typed begins a word of this row."""
        flash = f" {self.look.flash} {self.look.warning}".lower() if self.look else ""
        return all(f" {word}" in self.words + flash for word in typed.lower().split())

    def prepare(self) -> "Entry":
        """Work out all words now, in whatever thread this is, rather than while a row is painted."""
        _ = self.hue_name, self.words, self.drift
        return self


_KEPT: Final = 4
"""Rankings kept, so that coming back to one takes no time."""

Key = tuple[Hashable, ...]

_ranked: dict[Key, tuple[Palette, list[Entry]]] = {}


def key_of(palette: Palette, question: Question) -> Key:
    """Return what a ranking depends on: all of the question but the pairing itself."""
    return (
        id(palette), question.size, question.swatch, question.cloth, question.venue, question.distance,
        question.cover, question.tolerance, question.wish,
    )  # fmt: skip


def kept(palette: Palette, question: Question) -> list[Entry] | None:
    """Return the rows of a ranking made before, with what was looked at of them."""
    found = _ranked.get(key_of(palette, question))
    return None if found is None else found[1]


def rank_all(
    palette: Palette, question: Question, second: SecondProcess | SameProcess,
    step: Callable[[int, int], bool],
) -> list[Entry] | None:  # fmt: skip
    """Return a row for every pairing, best first; None if it was called off.

    `second` ranks them. `step` is told how many stones of how many are done, and answers whether to go on.

    Raises
    ------
    ProcessLostError
        If that ended meanwhile.

    """
    found: list[Entry] = []
    done = 0
    parts = _alike(palette)
    for stones in parts:
        if not step(done, sum(map(len, parts))):
            return None
        found += second.call(_rows, parcel(replace(palette, stones=stones)), question)
        done += len(stones)
    found.sort(key=lambda one: one.ranked.standing)
    while len(_ranked) >= _KEPT:
        _ranked.pop(next(iter(_ranked)))
    # The palette is kept with it, since its id in the key means nothing once it is gone.
    _ranked[key_of(palette, question)] = palette, found
    return found


def _rows(parts: dict[str, Any], question: Question) -> list[Entry]:
    """Return the rows of a `planner.app.second_process.parcel`, where that is ranked."""
    return [Entry(one).prepare() for one in rank(unpacked(parts), question)]


def _alike(palette: Palette) -> list[dict[str, Stone]]:
    """Part stones by glass, cut and back: those of a part share most of the work."""
    parts: dict[Key, dict[str, Stone]] = defaultdict(dict)
    for name, stone in palette.offered.stones.items():
        parts[stone.material, stone.cut, stone.foil, stone.back, stone.opaque][name] = stone
    return list(parts.values())
