"""What is kept of a photographed card: its films or the lot that came, as entries, and the log."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from planner import atomic
from planner.app.samples.worker import Answer, Card, Pairing
from planner.catalogue.fields import Entry
from planner.catalogue.find import key
from planner.catalogue.keep import keep, own_file
from planner.catalogue.own import id_for, named, with_kept
from planner.catalogue.palette import Palette
from planner.catalogue.palette_file import kind_of
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
    def first_name(self) -> str:
        """A name to begin with, that nothing has yet."""
        base = self.ordered.coating or self.ordered.stone
        name = "From my samples" if isinstance(self.answer, Card) else f"{base.name}, the lot I have"
        taken = {key(one.name) for one in self.palette.entries(self.kind).values()}
        tries = (name, *(f"{name} {count}" for count in range(2, len(taken) + 3)))
        return next(one for one in tries if key(one) not in taken)

    @property
    def question(self) -> str:
        """What is asked before it is kept."""
        what = "this coating" if isinstance(self.answer, Card) else "this lot"
        return f"What do you call {what}? It is kept among yours, known by what you see here."

    def keep(self, name: str) -> tuple[Entry, ...]:
        """Keep it under a name, and log what came; Refusal with the reason if that cannot be."""
        answer, known = self.answer, self.palette
        if isinstance(answer, Card):
            found: tuple[Entry, ...] = coatings(answer.fitted, id_for(known, "coating", name), name)
        else:
            lot = lot_in_hand(answer.arrived, "lot-in-hand", name, "estimated")
            found = (named(lot, name, id_for(known, kind_of(lot), name)),)
            read_log(own_log())  # a damaged log is told before anything is written
        # Where no film is like it the lot is a stone, whatever was ordered.
        path = own_file(kind_of(found[0]), self.palettes)
        atomic.make_folder(path.parent)
        keep(found, path, f"My own {path.stem}.")
        self.log()
        return found

    def after(self, kept: Sequence[Entry]) -> Palette:
        """Return the palette that holds what was kept, as hers."""
        return with_kept(self.palette, own_file(kind_of(kept[0]), self.palettes))

    def log(self) -> None:
        """Remember how far off the prediction was; Refusal if the log is damaged."""
        if not isinstance(self.answer, Card):
            append(own_log(), line_of(self.answer.arrived))
