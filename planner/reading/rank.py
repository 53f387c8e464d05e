"""The whole palette against one swatch: every stone with every coating, as a maker would rank them.

Her own stones come before the demo's, foiled ones before those through which the cloth shows, what does
what is wished before what does not; then by how well it serves the wish.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import TypeAlias

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Venue
from planner.colour.difference import delta_e
from planner.colour.ordered import quantiles
from planner.optics.arrays import Floats
from planner.reading.among import taken_for, white_of
from planner.reading.blocks import Block, blocks_of
from planner.reading.drift import JUST, Difference, difference, worse
from planner.reading.eye import sights
from planner.reading.finish import Finish, finish_of
from planner.reading.fit import Outcome, does, hides_cloth, holds, ill_served, outcome_of, same_word, served
from planner.reading.looks import Choice, Job, Look, all_jobs, glass_by_glass, is_looked_at, look_at, shared
from planner.reading.lots import draw, leaning, spread_over
from planner.reading.matter import QUICK, Grade, absorption, gem
from planner.reading.question import Question, can_carry
from planner.reading.read import Seen, cloth_lab, nominal, seen
from planner.reading.scene import Scene, scene
from planner.reading.states import States, states
from planner.reading.viewer import SeenOf

LOTS = 128
"""Lots drawn for each pairing: enough to rank by."""


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
    told: Callable[[float], None] = lambda _done: None,
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
    told
        Called now and then with the share that is done, 0 to 1.

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
    jobs = all_jobs(palette, question, stones, coatings, keep_bare, grade)
    blocks = [block for film in coatings for block in blocks_of(jobs, film)]
    order, judged = glass_by_glass(jobs), {}
    with shared(question, order):
        for done, some in _judged(palette, question, order, blocks):
            judged.update(some)
            told(done)
    without, found = _Bare.unknown(), []
    for film in coatings:
        fits = [judged[block] for block in blocks if block.coating is film]
        ranked = _ranked(palette, fits, without, asks_finish=finish is not None, unfoiled=unfoiled)
        those = [one for one in ranked if keep_bare(one.question.stone, film)]
        if film is None:
            without = _Bare.of(those)
            those = [one for one in those if not coated and wanted(one.question.stone, None)]
        found += those
    return tuple(sorted(found, key=lambda one: one.standing))


Judged: TypeAlias = tuple[Question, Floats, Floats, float, Outcome, float, float]
"""What is asked, and the first figures of `Ranked`."""


def _judged(
    palette: Palette, question: Question, order: Sequence[Job], blocks: Sequence[Block]
) -> Iterator[tuple[float, dict[Block, list[Judged]]]]:
    """Look at one job after another and judge all blocks; yield the share that is done, and some of these.

    Where stones are many, a full block is judged as soon as all of it was looked at, while a second process
    looks at what comes later, and is let go of. The others come last, coating by coating.
    """
    looks: dict[int, list[Look]] = {}
    waiting: dict[int, list[Block]] = {id(job): [] for job in order}
    for block in blocks:
        for job, _ in block.parts:
            waiting[id(job)].append(block)
    last = [block for block in blocks if not block.full]
    steps = len(order) + len(last)
    between = len(last) < len(blocks)
    for done, job in enumerate(_from_both_ends(question, order) if between else order, 1):
        looks[id(job)] = look_at(question, *job)
        whole = [one for one in waiting[id(job)] if one.full and all(id(of) in looks for of, _ in one.parts)]
        yield done / steps, {block: _judge(palette, question, block, looks) for block in whole}
        for block in whole:
            for of, _ in block.parts:
                waiting[id(of)].remove(block)
                if not waiting[id(of)]:
                    del looks[id(of)]
    for done, block in enumerate(last, len(order) + 1):
        yield done / steps, {block: _judge(palette, question, block, looks)}


def _from_both_ends(question: Question, order: Sequence[Job]) -> Iterator[Job]:
    """Yield jobs from the first on, and between them those at the end that a second process has left."""
    left = deque(order)
    while left:
        yield left.popleft()
        while left and is_looked_at(question, *left[-1]):
            yield left.pop()


@dataclass(frozen=True, eq=False)
class _Bare:
    """What stones are without a film, by their ids, beside the swatch."""

    weight: dict[str, float]
    """How much it weighs (`BY_FILM`) that a stone is another colour, 0 to 1."""
    another: dict[str, bool]
    """Whether it is quite another."""

    @classmethod
    def unknown(cls) -> "_Bare":
        """Return what is known of no stone."""
        return cls({}, {})

    @classmethod
    def of(cls, bare: Sequence[Ranked]) -> "_Bare":
        """Return what is known of uncoated stones, by how they were ranked."""
        if not bare or bare[0].question.wish == "contrast":
            return cls.unknown()
        labs, question = np.array([one.lab for one in bare]), bare[0].question
        far, _ = served(labs, bare[0].swatch, question)
        word = 1.0 - same_word(labs, bare[0].swatch, question)
        other = np.clip(np.maximum(word, far - 1.0), 0.0, 1.0)
        stones = [one.question.stone for one in bare]
        return cls(
            {stone.id: float(weight) for stone, weight in zip(stones, other, strict=True)},
            {
                stone.id: not stone.colourless and bool(apart > QUITE_ANOTHER)
                for stone, apart in zip(stones, word, strict=True)
            },
        )


def _ranked(
    palette: Palette, fits: Iterable[Sequence[Judged]], without: _Bare, *, asks_finish: bool, unfoiled: bool
) -> Iterator[Ranked]:
    """Yield all pairings of one coating; those further back whose colour is the film's, not the stone's."""
    for asked, lab, swatch, apart, outcome, lots, alone in chain.from_iterable(fits):
        finished = asks_finish or asked.wish == "contrast" or finish_of(asked.cut, asked.coating) == "plain"
        name = asked.stone.id
        ill = alone + (0.0 if finished else UNASKED_FINISH) + BY_FILM * without.weight.get(name, 0.0)
        own = ("stone", name) in palette.own
        yield Ranked(
            asked, lab, swatch, apart, outcome, lots, ill, own, finished, unfoiled,
            without.another.get(name, False),
        )  # fmt: skip


def _judge(
    palette: Palette, question: Question, block: Block, looks: Mapping[int, Sequence[Look]]
) -> list[Judged]:
    """Return what is asked of each stone of a block, and how it does."""
    place, asked = scene(question.venue), block.asked(palette, question)
    own = [
        (next(look for look in looks[id(job)] if look.coating is block.coating), some)
        for job, some in block.parts
    ]
    nodes = np.concatenate([look.nodes[:, :, some] for look, some in own], axis=2)
    leans = np.concatenate([look.widely[:, some] for look, some in own], axis=1)
    whites = np.concatenate([look.whites[some] for look, some in own])
    fits = _fits(question, place, block.coating, own[0][0].film, nodes, leans, whites)
    return [(one, *fit) for one, fit in zip(asked, fits, strict=True)]


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
    lots_fit = (worse(*lots_served) <= JUST).mean(axis=1)
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
        return np.maximum(0.0, ENOUGH_CONTRAST - quantiles(1.0 / far, [0.25])[0])
    ill = quantiles(far + WORD_WEIGHT * word, [0.75])[0]
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
    glass = gem(question.stone, question.cut, grade, question.lean, coating=question.coating)
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
        white = white_of(question, place, grade)
        lab = taken_for(nominal(film, spread, found), place, white, question.distance)
        yield venue, lab, cloth_lab(question.swatch.reflectance, place)
