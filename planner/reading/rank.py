"""The whole palette against one swatch: every stone with every coating, as a maker would rank them.

Her own stones come before the demo's, foiled ones before those through which the cloth shows, what does
what is wished before what does not; then by how well it serves the wish.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size as stone_size
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Venue
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.optics.arrays import Floats
from planner.reading.among import taken_for, white_of
from planner.reading.beside import beside
from planner.reading.drift import JUST, Difference, difference
from planner.reading.eye import SeenOf, sights
from planner.reading.finish import Finish, finish_of, swallows_nothing
from planner.reading.fit import Outcome, does, hides_cloth, holds, ill_served, outcome_of, same_word, served
from planner.reading.lots import draw, leaning, spread_over
from planner.reading.matter import (
    QUICK,
    Gem,
    Grade,
    States,
    absorption,
    gem,
    lay_angle,
    states,
)
from planner.reading.question import Question, can_carry
from planner.reading.read import Seen, bodies, cloth_lab, nominal, seen
from planner.reading.scene import Scene, scene
from planner.reading.together import ColoursAsked, are_kept, colours

LOTS = 128
"""Lots drawn for each pairing: enough to rank by."""

FEWEST, NODES = 7, 9
"""Fewest and most thickness nodes for each coating."""

TOGETHER, STONES = 6, 48
"""Coatings and stones computed in one go: enough for large products, few enough for memory."""

WEIGHED = 512
"""Stones whose batches are weighed in one go, likewise."""

Choice = Callable[[Stone, Coating | None], bool]
"""Which pairings to look at."""


@dataclass(frozen=True, eq=False)
class Ranked:
    """One pairing of the palette, seen like the question's: its glow alone, and from fewer lots."""

    question: Question
    lab: Floats
    """(3,) CIELAB of what is seen."""
    swatch: Floats
    """(3,) CIELAB of the swatch in the same light."""
    dE00: float  # noqa: N815 - the name the standard gives it
    """How far what is seen is from the swatch."""
    outcome: Outcome
    """Whether the nominal lot does what is wished."""
    lots: float
    """Share of lots that do."""
    score: float
    """How ill it serves the wish; see `score`."""
    own: bool = False
    """Whether the stone is one of the person's own, and not of the demo."""
    finish_as_wished: bool = True
    """Whether it has plain facets, or another finish was asked for, or contrast is wanted."""
    unfoiled_too: bool = False
    """Whether stones without foil were asked for."""
    film_alone: bool = False
    """Whether its film alone makes it the swatch's colour, on a stone of quite another (`QUITE_ANOTHER`)."""

    @property
    def holds(self) -> bool:
        """Whether the nominal lot does what is wished, if only just."""
        return holds(self.outcome)

    @property
    def standing(self) -> tuple[bool, bool, bool, bool, float]:
        """What pairings are ranked by, smallest first.

        Own stones, then the demo's. Without foil a stone matches only because the cloth shows through, so it
        comes last unless it was asked for; and before those, what has the colour from its film alone. Then
        those that hold with a finish that was asked for, and among equals the score.
        """
        last = not (self.unfoiled_too or hides_cloth(self.question))
        return not self.own, last, self.film_alone, not (self.holds and self.finish_as_wished), self.score

    @property
    def seen(self) -> Seen:
        """What is seen, with its name and screen colour."""
        return seen(self.lab)

    @property
    def drift(self) -> Difference:
        """What is seen against the swatch, in words too."""
        return difference(self.swatch, self.lab)


def rank(
    palette: Palette,
    question: Question,
    *,
    coated: bool | None = None,
    material: str | None = None,
    grade: Grade = QUICK,
    unfoiled: bool = False,
    mine: bool = False,
    finish: Finish | None = None,
    keep: Choice = lambda _stone, _coating: True,
) -> tuple[Ranked, ...]:
    """Return every pairing of the palette, the best for the question's wish first (`Ranked.standing`).

    Parameters
    ----------
    palette
        Stones, cuts and coatings.
    question
        Its stone, cut, coating and size are only where the size is taken from: a stone that is
        not offered in that size is taken in its nearest one.
    coated
        True for coated stones alone, False for uncoated ones.
    material
        Stones of one material alone.
    grade
        How finely to follow the stones.
    unfoiled
        Whether stones without foil are ranked among the others, and not after them.
    mine
        The person's own stones alone, with her coatings and those commonly sold, none of the demo's.
    finish
        One finish alone.
    keep
        A further choice.

    """

    def wanted(stone: Stone, coating: Coating | None) -> bool:
        fitting = finish in (None, finish_of(palette.cuts[stone.cut], coating))
        return fitting and can_carry(stone, coating) and keep(stone, coating)

    palette = replace(palette, mine=mine or palette.mine).offered
    # Uncoated stones are always looked at: what a stone is without its film weighs, see `BY_FILM`.
    coatings = [None, *(() if coated is False else palette.coatings.values())]
    keep_bare: Choice = lambda stone, film: film is None or wanted(stone, film)  # noqa: E731 - a choice
    stones = [
        one
        for one in palette.stones.values()
        if material in (None, one.material) and any(wanted(one, film) for film in coatings)
    ]
    jobs = _all_jobs(palette, question, stones, coatings, keep_bare, grade)
    with _shared(question, jobs):
        looks = [look for job in jobs for look in _looks(question, *job)]
    films = ([look for look in looks if look.coating is film] for film in coatings)
    parts = (_ranked(palette, question, some, asks_finish=finish is not None) for some in films)
    every = (one for part in parts for one in part if keep_bare(one.question.stone, one.question.coating))
    found = _weighed([replace(one, unfoiled_too=unfoiled) for one in every])
    asked = (
        one
        for one in found
        if coated in (None, one.question.coating is not None)
        and wanted(one.question.stone, one.question.coating)
    )
    return tuple(sorted(asked, key=lambda one: one.standing))


def look_ahead(palette: Palette, question: Question) -> None:
    """Leave in the store what `rank` looks at for a question, if it is not there; the last first."""
    palette = palette.offered
    coatings, stones = [None, *palette.coatings.values()], list(palette.stones.values())
    for job in reversed(_all_jobs(palette, question, stones, coatings, can_carry, QUICK)):
        if not are_kept(*_asked(question, *job)):
            _looks(question, *job)


def _shared(question: Question, jobs: "Sequence[_Job]") -> AbstractContextManager[None]:
    """Return a context in which a second process begins at the last of the jobs, if there is much to do."""
    if not jobs or are_kept(*_asked(question, *jobs[0])):
        return nullcontext()
    return beside(lambda: [_looks(question, *job) for job in reversed(jobs)])


def _weighed(found: Sequence[Ranked]) -> Iterator[Ranked]:
    """Yield pairings, those further back whose colour is the film's and not the stone's."""
    bare = {one.question.stone.id: one for one in found if one.question.coating is None}
    if not bare:
        yield from found
        return
    labs, first = np.array([one.lab for one in bare.values()]), next(iter(bare.values()))
    far, _ = served(labs, first.swatch, first.question)
    word = 1.0 - same_word(labs, first.swatch, first.question)
    other = np.clip(np.maximum(word, far - 1.0), 0.0, 1.0)
    by_stone = dict(zip(bare, zip(other, word, strict=True), strict=True))
    for one in found:
        stone = one.question.stone
        if one.question.coating is None or one.question.wish == "contrast" or stone.id not in by_stone:
            yield one
            continue
        weight, word_apart = by_stone[stone.id]
        alone = not stone.colourless and bool(word_apart > QUITE_ANOTHER)
        yield replace(one, score=one.score + BY_FILM * float(weight), film_alone=alone)


@dataclass(frozen=True, eq=False)
class _Alike:
    """S stones of one glass and cut, in the sizes that they are looked at in."""

    glass: Gem
    stones: tuple[Stone, ...]
    sizes: tuple[str, ...]
    bodies: Floats
    """(3, S, 81) absorption per mm at a low, the nominal and a high concentration."""
    millimetres: Floats
    """(S,)"""

    def only(self, ids: set[str]) -> "_Alike":
        """Return some of them."""
        some = [number for number, one in enumerate(self.stones) if one.id in ids]
        stones, sizes = (self.stones[number] for number in some), (self.sizes[number] for number in some)
        return _Alike(self.glass, tuple(stones), tuple(sizes), self.bodies[:, some], self.millimetres[some])


@dataclass(frozen=True, eq=False)
class _Look:
    """What they look like under one coating."""

    alike: _Alike
    coating: Coating | None
    film: States
    nodes: Floats
    """(T, 3, S, 3), see `planner.reading.together.Colours`."""
    widely: Floats
    """(3, S, 3), likewise."""


def _alike(palette: Palette, question: Question, glass: Gem, stones: Sequence[Stone]) -> _Alike:
    sizes = tuple(nearest_size(stone, question.size) for stone in stones)
    # What has one concentration counts as three alike.
    three = [np.broadcast_to(bodies(one, palette.cuts[one.cut]), (3, len(WAVELENGTHS))) for one in stones]
    absorbed = np.stack(three, axis=1) if three else np.empty((3, 0, len(WAVELENGTHS)))
    millimetres = np.array([stone_size(name).nominal_mm for name in sizes])
    return _Alike(glass, tuple(stones), sizes, absorbed, millimetres)


_Job: TypeAlias = tuple[_Alike, list[Coating | None]]
"""Stones and coatings that are looked at in one go."""


def _all_jobs(
    palette: Palette, question: Question, stones: Sequence[Stone], coatings: Sequence[Coating | None],
    wanted: Choice, grade: Grade,
) -> list[_Job]:  # fmt: skip
    """Return all that is to be looked at: glass by glass, so that beams are followed once, the most first."""
    chosen = defaultdict(list)
    for stone in stones:
        chosen[gem(stone, palette.cuts[stone.cut], grade, question.lean)].append(stone)
    alike = [_alike(palette, question, glass, some) for glass, some in chosen.items()]
    alike.sort(key=lambda one: -len(one.stones))
    return [job for one in alike for job in _jobs(one, coatings, wanted)]


def _jobs(alike: _Alike, coatings: Sequence[Coating | None], wanted: Choice) -> Iterator[_Job]:
    """Yield what is computed in one go: stones and coatings that are each wanted in some pairing."""
    for films in _laid_alike([one for one in coatings if any(wanted(stone, one) for stone in alike.stones)]):
        carry = [stone.id for stone in alike.stones if any(wanted(stone, one) for one in films)]
        for start in range(0, len(carry), STONES):
            yield alike.only(set(carry[start : start + STONES])), films


def _laid_alike(coatings: Sequence[Coating | None]) -> Iterator[list[Coating | None]]:
    """Part coatings so that those of a part meet the same groups of beams, and lose light alike."""
    parts = defaultdict(list)
    for coating in coatings:
        where = coating.where if coating else "crown"
        parts[lay_angle(coating), where, swallows_nothing(coating)].append(coating)
    for part in parts.values():
        for start in range(0, len(part), TOGETHER):
            yield part[start : start + TOGETHER]


def nearest_size(stone: Stone, wanted: str) -> str:
    """Return the size that a stone is offered in and that is nearest to the one wanted."""
    if wanted in stone.sizes:
        return wanted
    target = stone_size(wanted).nominal_mm
    return min(stone.sizes, key=lambda name: abs(stone_size(name).nominal_mm - target))


def _looks(question: Question, alike: _Alike, coatings: Sequence[Coating | None]) -> list[_Look]:
    """Return what stones look like under coatings that lie alike."""
    asked = _asked(question, alike, coatings)
    films, together = asked[1], colours(*asked)
    ends = np.cumsum([film.count for _, film in films])
    nodes = np.split(together.nodes, ends[:-1])
    each = zip(films, nodes, together.widely.swapaxes(0, 1), strict=True)
    return [_Look(alike, *one, own, wide) for one, own, wide in each]


def _asked(question: Question, alike: _Alike, coatings: Sequence[Coating | None]) -> ColoursAsked:
    films = [(coating, states(coating, full=False, least=FEWEST, most=NODES)) for coating in coatings]
    return (
        alike.glass, films, alike.bodies, alike.millimetres, scene(question.venue),
        question.cloth.reflectance, question.viewer,
    )  # fmt: skip


def _ranked(
    palette: Palette,
    question: Question,
    looks: Sequence[_Look],
    *,
    asks_finish: bool,
) -> Iterator[Ranked]:
    """Yield all pairings of one coating."""
    if not looks:
        return
    place, coating = scene(question.venue), looks[0].coating
    sized = [
        replace(question, stone=stone, cut=palette.cuts[stone.cut], coating=coating, size=size)
        for look in looks
        for stone, size in zip(look.alike.stones, look.alike.sizes, strict=True)
    ]
    nodes = np.concatenate([look.nodes for look in looks], axis=2)
    leans = np.concatenate([look.widely for look in looks], axis=1)
    whites = np.array([white_of(one, place) for one in sized])
    fits = (
        fit
        for start in range(0, len(sized), WEIGHED)
        for fit in _fits(
            question, place, coating, looks[0].film, nodes[:, :, start : start + WEIGHED],
            leans[:, start : start + WEIGHED], whites[start : start + WEIGHED],
        )
    )  # fmt: skip
    for asked, (lab, swatch, apart, outcome, lots, ill) in zip(sized, fits, strict=True):
        plain = asks_finish or question.wish == "contrast" or finish_of(asked.cut, coating) == "plain"
        own = ("stone", asked.stone.id) in palette.own
        weight = 0.0 if plain else UNASKED_FINISH
        yield Ranked(asked, lab, swatch, apart, outcome, lots, ill + weight, own, plain)


def _fits(
    question: Question,
    place: Scene,
    coating: Coating | None,
    film: States,
    xyz: Floats,
    wide: Floats,
    whites: Floats,
) -> Iterator[tuple[Floats, Floats, float, Outcome, float, float]]:
    """Yield the figures of `Ranked` for each of S stones, from their colours (T, 3, S, 3)."""
    # All stones at once: to the lots, a stone is three more values of a state.
    nodes = xyz.reshape(len(xyz), 3, -1)
    spread = coating.stone_spread if coating else 0.0
    lab = taken_for(nominal(film, spread, nodes).reshape(-1, 3), place, whites, question.distance)
    lots = draw(coating, LOTS)
    lot_xyz = spread_over(film, spread, nodes, lots) * leaning(wide.reshape(3, -1), lots)
    lot_xyz = lot_xyz.reshape(LOTS, -1, 3)
    lot_lab = taken_for(lot_xyz.transpose(1, 0, 2), place, whites[:, None], question.distance)
    swatch = cloth_lab(question.swatch.reflectance, place)
    ill, lots_served = ill_served(lab, swatch, question), served(lot_lab, swatch, question)
    lots_fit = (np.maximum(*lots_served) <= JUST).mean(axis=1)
    scores, apart = score(lab, lots_served, swatch, question), delta_e(lab, swatch)
    for i, one in enumerate(lab):
        yield one, swatch, float(apart[i]), outcome_of(float(ill[i])), float(lots_fit[i]), float(scores[i])


TONE_STEP = 8.0
"""Difference in L* from which a stone counts as another tone of the same hue (our choice)."""

ENOUGH_CONTRAST = 4.0
"""Times the least contrast beyond which more is no better (our choice)."""

WORD_WEIGHT = 0.8
"""What everyday words that differ by as much as is allowed weigh against a distance of as much as is allowed:
a little less, since the distance has a part of it in itself. A teal that lies nearer to an emerald than any
green does is still not what is asked for (common practice, no source; how much is our choice)."""

BY_FILM = 0.8
"""What it weighs, likewise, that the stone without its film is called otherwise than the swatch, or lies
twice as far from it as is allowed: a scarlet that only its film makes pink is pink from one side and in one
batch, and a maker who wants pink takes a pink stone (common practice, no source; how much is our choice)."""

QUITE_ANOTHER = 0.75
"""Share of people who would call the bare stone by another word than the swatch, from which it is of quite
another colour (our choice): its film's is so from one side, in one batch. Clear glass has none of its own."""

UNASKED_FINISH = 1.0
"""What a finish that nobody asked for weighs, likewise: a half mirror or a dome is a second choice even
beside plain facets that miss by as much again as is allowed (our choice)."""


def score(lab: Floats, lots: tuple[Floats, Floats], swatch: Floats, question: Question) -> Floats:
    """Return (S,) how ill pairings serve the wish; 0 is perfect, 1 about the limit.

    blend and tone: distance and everyday word that three lots in four stay within; for tone also what
    is missing to a clear step of lightness. contrast: what is missing to a strong one in the lot that
    is nearest to the swatch of four.

    Parameters
    ----------
    lab, lots
        (S, 3) CIELAB of the nominal lots, and (S, N) how ill N lots serve the wish, by distance and by word
        (`planner.reading.fit.served`).
    swatch
        (3,)
    question
        For its wish and tolerance.

    """
    far, word = lots
    if question.wish == "contrast":
        return np.maximum(0.0, ENOUGH_CONTRAST - np.percentile(1.0 / far, 25, axis=-1))
    ill = np.percentile(far + WORD_WEIGHT * word, 75, axis=-1)
    if question.wish == "tone":
        ill = ill + np.maximum(0.0, 1.0 - np.abs(lab[:, 0] - swatch[0]) / TONE_STEP)
    return ill


def seen_in(
    question: Question, venues: Iterable[Venue], grade: Grade = QUICK
) -> Iterator[tuple[Venue, Difference, bool]]:
    """Yield, for each venue, how the nominal lot is seen beside the swatch, and if it does as wished."""
    for venue, lab, swatch in seen_labs(question, venues, grade):
        yield venue, difference(swatch, lab), bool(does(lab, swatch, question))


def seen_labs(
    question: Question, venues: Iterable[Venue], grade: Grade = QUICK, of: SeenOf | None = None
) -> Iterator[tuple[Venue, Floats, Floats]]:
    """Yield, for each venue, CIELAB (3,) of the nominal lot's seen colour and of the swatch there.

    Seen colour is that of single stones or of the field, `of`; what the viewer has when not given.
    """
    glass = gem(question.stone, question.cut, grade, question.lean)
    film = states(question.coating, full=False)
    body = absorption(question.stone, question.cut)[None]
    size, viewer = question.millimetres, question.viewer
    wanted = of or viewer.judged(size)
    spread = question.coating.stone_spread if question.coating else 0.0
    for venue in venues:
        place = scene(venue)
        found = sights(
            glass, question.coating, film, body, size, place, question.cloth.reflectance, viewer, (wanted,)
        ).seen[wanted]
        lab = taken_for(nominal(film, spread, found), place, white_of(question, place), question.distance)
        yield venue, lab, cloth_lab(question.swatch.reflectance, place)
