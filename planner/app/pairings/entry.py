"""One row: a ranked pairing with its words, and what was found when it was looked at."""

from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

from rich.text import Text

from planner.app.depth import Depth
from planner.app.pairings.looks import Look
from planner.colour.names import capped, hue_name_of
from planner.reading.drift import Difference
from planner.reading.rank import Ranked
from planner.reading.read import Seen

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
