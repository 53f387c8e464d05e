"""What to order instead: the pairings that serve the same wish best, and what each gives up."""

from collections.abc import Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass

from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.reading.beside import beside
from planner.reading.concern import Elsewhere
from planner.reading.elsewhere import elsewhere
from planner.reading.fit import fit
from planner.reading.matter import QUICK, Grade
from planner.reading.places import places
from planner.reading.question import Question
from planner.reading.rank import Ranked, rank
from planner.reading.read import Reading, is_read, level_of, read
from planner.reading.warn import Concern, warnings

LOOKED_AT = 8
"""How many of the best by glow are read in full, flash and all, before three are offered."""

_LAST = (True, True, True, True, float("inf"))
"""Standing behind every pairing."""

_MATERIALS = ("acrylic", "glass", "lead-free crystal", "lead crystal")
"""In order of sparkle: index and dispersion rise."""

_DIMMER = 0.7
"""Stops by which flashes must be dimmer, or share by which they must be fewer, to be told of."""


@dataclass(frozen=True, eq=False)
class Instead:
    """A pairing that could be ordered instead."""

    ranked: Ranked
    reading: Reading
    """At a first look's accuracy."""
    concerns: tuple[Concern, ...]
    """What is to be warned of about it."""
    gives_up: tuple[str, ...]
    """What is lost against the pairing that was asked about, in plain words; may be empty."""

    @property
    def fits(self) -> bool:
        """Whether it does what is wished, if only just."""
        return fit(self.reading).fits

    @property
    def severe(self) -> bool:
        """Whether it raises a severe warning itself."""
        return any(one.severity == "severe" for one in self.concerns)


def instead(
    palette: Palette,
    asked: Reading,
    *,
    coated: bool | None = None,
    material: str | None = None,
    unfoiled: bool = False,
    venues: Sequence[Venue] = (),
    count: int = 3,
    grade: Grade = QUICK,
    best: Sequence[Ranked] | None = None,
) -> tuple[Instead, ...]:
    """Return up to `count` pairings that do what is wished, and do it better than the one asked about.

    Those without a severe warning of their own come first; one that has one says so. Where none does what is
    wished, the one that comes nearest is returned alone.

    Parameters
    ----------
    palette
        What can be had.
    asked
        The reading of the pairing asked about.
    coated, material, unfoiled
        As for `planner.reading.rank.rank`.
    venues
        Where else the garment is seen: what breaks there is warned of, and comes after what does not.
    count
        How many.
    grade
        How finely to read them.
    best
        `planner.reading.rank.rank` of a question that differs in stone and coating at most, with the
        same choices, where it is at hand: it takes most of the time.

    """
    question = asked.question
    if best is None:
        best = rank(palette, question, coated=coated, material=material, unfoiled=unfoiled)
    own = next((one for one in best if same_pairing(one.question, question)), None)
    mine, held = (own.standing, own.holds) if own else (_LAST, False)
    better = [
        place.first
        for place in places(one for one in best if not same_pairing(one.question, question))
        if place.first.standing < mine and (place.first.holds or not held)
    ]
    looked_at, found = better[:LOOKED_AT], []
    with _read_beside([one.question for one in looked_at], venues, grade):
        for one in looked_at:
            reading, there = _read_there(one.question, venues, grade)
            found.append(Instead(one, reading, warnings(reading, there), gives_up(asked, reading)))
    good = [one for one in found if one.fits]
    good.sort(
        key=lambda one: (one.severe, sum(c.severity == "caution" for c in one.concerns), one.ranked.standing)
    )
    return tuple(good[:count]) if good else tuple(found[:1])


def _read_beside(
    questions: Sequence[Question], venues: Sequence[Venue], grade: Grade
) -> AbstractContextManager[None]:
    """Return a context in which a second process reads them from the last on."""
    known = len(questions) < 2 or is_read(questions[-1], grade)
    return beside(lambda: (_read_there(one, venues, grade) for one in reversed(questions)), known=known)


def _read_there(
    question: Question, venues: Sequence[Venue], grade: Grade
) -> tuple[Reading, tuple[Elsewhere, ...]]:
    """Return a reading and, where it does what is wished, what becomes of it in the other venues."""
    reading = read(question, grade)
    return reading, tuple(elsewhere(question, venues, grade)) if fit(reading).fits else ()


def same_pairing(one: Question, other: Question) -> bool:
    """Say whether two questions are about the same stone, coating and size."""
    ids = [(q.stone.id, q.coating.id if q.coating else None, q.size) for q in (one, other)]
    return ids[0] == ids[1]


def gives_up(asked: Reading, other: Reading) -> tuple[str, ...]:
    """Return what the other pairing lacks that the one asked about has, each a plain sentence: what: why."""
    before, after = asked.question, other.question
    said = []
    if before.coating and not after.coating:
        said.append("No rainbow effect: it is uncoated.")
    elif after.coating and not before.coating:
        said.append("Less certain: coatings vary from batch to batch.")
    if _MATERIALS.index(after.stone.material) < _MATERIALS.index(before.stone.material):
        said.append(f"Plainer material: it is {after.stone.material}.")
    if after.size != before.size:
        said.append(f"Another size: it comes only in {after.size}.")
    if before.stone.foil != "none" and after.stone.foil == "none":
        said.append("No foil: the cloth shows through it.")
    return (*said, *_sparkle_lost(asked, other))


def _sparkle_lost(asked: Reading, other: Reading) -> tuple[str, ...]:
    if asked.flash is None:
        return ()
    if other.flash is None:
        return ("No sparkle in this light.",)
    if asked.at_hand != other.at_hand:
        return ()  # facets flash more often, and more brightly, than whole stones
    if level_of(asked.brightness, asked.flash) - level_of(other.brightness, other.flash) > _DIMMER:
        return ("Dimmer sparkle.",)
    if other.flash.per_stone < _DIMMER * asked.flash.per_stone:
        return ("Less sparkle.",)
    return ()
