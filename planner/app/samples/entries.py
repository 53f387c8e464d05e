"""What is kept of a photographed card: its films or the lot that came, as entries, and the log."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType

from planner import atomic
from planner.app.samples.worker import Answer, Card, Pairing
from planner.catalogue.coating import Coating
from planner.catalogue.fields import Entry
from planner.catalogue.keep import free_id, keep, own_file
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.fitting.arrival import lot_in_hand
from planner.fitting.coating import coatings
from planner.fitting.record import append, line_of, own_log, read_log


@dataclass(frozen=True, eq=False)
class Keeper:
    """Keeps one answer."""

    answer: Answer
    ordered: Pairing
    palette: Palette
    palettes: Path | None
    """As ``--palettes``."""

    @property
    def kind(self) -> str:
        """What it becomes: what came of uncoated stones is a stone, all else a coating."""
        return "stone" if not isinstance(self.answer, Card) and self.ordered.coating is None else "coating"

    @property
    def path(self) -> Path:
        """The file that it goes to."""
        return own_file(self.kind, self.palettes)

    @property
    def first_id(self) -> str:
        """An id to begin with, that nothing has yet."""
        base = self.ordered.coating or self.ordered.stone
        name = "card-film" if isinstance(self.answer, Card) else f"{base.id}-lot"
        return free_id(name, self.palette.entries(self.kind), "found")

    @property
    def question(self) -> str:
        """What is asked before it is kept."""
        what = "Its films, each an entry, are" if isinstance(self.answer, Card) else "This lot is"
        return f"{what} kept in {self.path}, basis estimated. An id:"

    def keep(self, name: str) -> tuple[Entry, ...]:
        """Keep it under an id, and log what came; ValueError with the reason if that cannot be."""
        answer = self.answer
        if isinstance(answer, Card):
            found: tuple[Entry, ...] = coatings(answer.fitted, name, name)
        else:
            found = (lot_in_hand(answer.arrived, name, name, "estimated"),)
            read_log(own_log())  # a damaged log is told before anything is written
        atomic.make_folder(self.path.parent)
        keep(found, self.path, "Of our own.", self.palette.entries(self.kind))
        self.log()
        return found

    def log(self) -> None:
        """Remember how far off the prediction was; Refusal if the log is damaged."""
        if not isinstance(self.answer, Card):
            append(own_log(), line_of(self.answer.arrived))


def known(palette: Palette, kept: Sequence[Entry]) -> Palette:
    """Return a palette that holds what was kept."""
    films = {one.id: one for one in kept if isinstance(one, Coating)}
    stones = {one.id: one for one in kept if isinstance(one, Stone)}
    return replace(
        palette, coatings=MappingProxyType({**palette.coatings, **films}),
        stones=MappingProxyType({**palette.stones, **stones}),
    )  # fmt: skip
