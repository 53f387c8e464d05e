"""Every pairing ranked, coating by coating, so that progress shows and leaving stops the work."""

from collections.abc import Callable, Hashable
from typing import Final

from planner.app.pairings.looks import Look
from planner.catalogue.coating import Coating
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.reading.question import Question
from planner.reading.rank import Ranked, rank

_KEPT: Final = 4
"""Rankings kept, so that coming back to one takes no time."""

Key = tuple[Hashable, ...]

_ranked: dict[Key, tuple[Palette, tuple[Ranked, ...], dict[Key, Look]]] = {}


def key_of(palette: Palette, question: Question) -> Key:
    """Return what a ranking depends on: all of the question but the pairing itself."""
    return (
        id(palette), question.size, question.swatch, question.cloth, question.venue, question.distance,
        question.cover, question.tolerance, question.wish,
    )  # fmt: skip


def pairing_key(question: Question) -> Key:
    """Return what tells one pairing of a ranking from another."""
    return question.stone.id, question.coating.id if question.coating else None, question.size


def kept(palette: Palette, question: Question) -> tuple[tuple[Ranked, ...], dict[Key, Look]] | None:
    """Return a ranking made before, and what was looked at of it."""
    found = _ranked.get(key_of(palette, question))
    return None if found is None else found[1:]


def _only(coating: Coating | None) -> Callable[[Stone, Coating | None], bool]:
    return lambda _, one: one is coating


def rank_all(
    palette: Palette, question: Question, step: Callable[[int, int], bool]
) -> tuple[tuple[Ranked, ...], dict[Key, Look]] | None:
    """Return every pairing, best first, and an empty book of looks; None if it was called off.

    `step` is told how many coatings of how many are done, and answers whether to go on.
    """
    coatings = [None, *palette.coatings.values()]
    found: list[Ranked] = []
    for done, coating in enumerate(coatings):
        if not step(done, len(coatings)):
            return None
        found += rank(palette, question, keep=_only(coating))
    ranked = tuple(sorted(found, key=lambda one: one.score))
    while len(_ranked) >= _KEPT:
        _ranked.pop(next(iter(_ranked)))
    looks: dict[Key, Look] = {}
    # The palette is kept with it, since its id in the key means nothing once it is gone.
    _ranked[key_of(palette, question)] = palette, ranked, looks
    return ranked, looks
