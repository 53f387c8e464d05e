"""Every pairing ranked, part by part of the stones, so that progress shows and leaving stops the work."""

from collections import defaultdict
from collections.abc import Callable, Hashable
from dataclasses import replace
from typing import Final

from planner.app.pairings.entry import Entry
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.reading.question import Question
from planner.reading.rank import rank

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


def rank_all(palette: Palette, question: Question, step: Callable[[int, int], bool]) -> list[Entry] | None:
    """Return a row for every pairing, best first; None if it was called off.

    `step` is told how many stones of how many are done, and answers whether to go on.
    """
    found: list[Entry] = []
    done = 0
    for stones in _alike(palette):
        if not step(done, len(palette.stones)):
            return None
        found += [Entry(one).prepare() for one in rank(replace(palette, stones=stones), question)]
        done += len(stones)
    found.sort(key=lambda one: one.ranked.standing)
    while len(_ranked) >= _KEPT:
        _ranked.pop(next(iter(_ranked)))
    # The palette is kept with it, since its id in the key means nothing once it is gone.
    _ranked[key_of(palette, question)] = palette, found
    return found


def _alike(palette: Palette) -> list[dict[str, Stone]]:
    """Part stones by glass, cut and back: those of a part share most of the work."""
    parts: dict[Key, dict[str, Stone]] = defaultdict(dict)
    for name, stone in palette.stones.items():
        parts[stone.material, stone.cut, stone.foil, stone.back, stone.opaque][name] = stone
    return list(parts.values())
