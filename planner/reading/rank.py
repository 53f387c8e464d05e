"""The whole palette against one swatch: every stone with every coating, as a maker would rank them.

Her own stones come before the demo's, foiled ones before those through which the cloth shows, what does
what is wished before what does not; then by how well it serves the wish.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size as stone_size
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Venue
from planner.colour.difference import delta_e
from planner.colour.everyday import overlap
from planner.colour.grid import WAVELENGTHS
from planner.optics.arrays import Floats
from planner.reading.drift import JUST, Difference, difference
from planner.reading.eye import SeenOf, sights
from planner.reading.finish import Finish, finish_of, swallows_nothing
from planner.reading.fit import Outcome, does, hides_cloth, ill_served, outcome_of, served
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
from planner.reading.read import Seen, bodies, cloth_lab, nominal, perceived, seen
from planner.reading.scene import Scene, scene
from planner.reading.together import colours

LOTS = 128
"""Lots drawn for each pairing: enough to rank by."""

NODES = 9
"""Thickness nodes for each coating."""

THREADS = 2

TOGETHER = 6
"""Coatings computed in one go: enough for large products, few enough for memory."""

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

    @property
    def holds(self) -> bool:
        """Whether the nominal lot does what is wished, if only just."""
        return self.outcome != "fails"

    @property
    def standing(self) -> tuple[bool, bool, bool, float]:
        """What pairings are ranked by, smallest first.

        Own stones, then the demo's. Without foil a stone matches only because the cloth shows through, so it
        comes last unless it was asked for. Then those that hold with a finish that was asked for, and among
        equals the score.
        """
        last = not (self.unfoiled_too or hides_cloth(self.question))
        return not self.own, last, not (self.holds and self.finish_as_wished), self.score

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
        The person's own stones alone, none of the demo's.
    finish
        One finish alone.
    keep
        A further choice.

    """

    def wanted(stone: Stone, coating: Coating | None) -> bool:
        fitting = finish in (None, finish_of(palette.cuts[stone.cut], coating))
        return fitting and can_carry(stone, coating) and keep(stone, coating)

    chosen = defaultdict(list)
    for stone in palette.stones.values():
        if material in (None, stone.material) and not (mine and ("stone", stone.id) not in palette.own):
            chosen[gem(stone, palette.cuts[stone.cut], grade, question.lean)].append(stone)
    # Uncoated stones are always looked at: what a stone is without its film weighs, see `BY_FILM`.
    coatings = [None, *(() if coated is False else palette.coatings.values())]
    keep_bare: Choice = lambda stone, film: film is None or wanted(stone, film)  # noqa: E731 - a choice
    jobs = [
        job
        for glass, stones in chosen.items()
        for job in _jobs(
            glass, [one for one in stones if any(wanted(one, film) for film in coatings)], coatings, keep_bare
        )
    ]
    # The largest first, so that neither thread is left with one at the end.
    jobs.sort(key=lambda job: -len(job[1]) * len(job[2]))
    with ThreadPoolExecutor(THREADS) as pool:
        asks = finish is not None
        parts = list(
            pool.map(lambda job: list(_ranked(palette, question, keep_bare, *job, asks_finish=asks)), jobs)
        )
    found = _weighed([replace(one, unfoiled_too=unfoiled) for part in parts for one in part])
    asked = (
        one
        for one in found
        if coated in (None, one.question.coating is not None)
        and wanted(one.question.stone, one.question.coating)
    )
    return tuple(sorted(asked, key=lambda one: one.standing))


def _weighed(found: Sequence[Ranked]) -> Iterator[Ranked]:
    """Yield pairings, those with more to their score whose colour is the film's and not the stone's."""
    bare = {one.question.stone.id: one for one in found if one.question.coating is None}
    if not bare:
        yield from found
        return
    labs, swatch = np.array([one.lab for one in bare.values()]), next(iter(bare.values())).swatch
    other = dict(zip(bare, 1.0 - overlap(labs, swatch), strict=True))
    for one in found:
        if one.question.coating is None or one.question.wish == "contrast":
            yield one
        else:
            yield replace(one, score=one.score + BY_FILM * float(other.get(one.question.stone.id, 0.0)))


def _jobs(
    glass: Gem, stones: Sequence[Stone], coatings: Sequence[Coating | None], wanted: Choice
) -> Iterator[tuple[Gem, list[Stone], list[Coating | None]]]:
    """Yield what is computed in one go: stones and coatings that are each wanted in some pairing."""
    for alike in _laid_alike([one for one in coatings if any(wanted(stone, one) for stone in stones)]):
        yield glass, [stone for stone in stones if any(wanted(stone, one) for one in alike)], alike


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


def _ranked(
    palette: Palette, question: Question, wanted: Choice, glass: Gem, stones: Sequence[Stone],
    coatings: Sequence[Coating | None], *, asks_finish: bool,
) -> Iterator[Ranked]:  # fmt: skip
    place = scene(question.venue)
    films = [(coating, states(coating, full=False, most=NODES)) for coating in coatings]
    sizes = [nearest_size(stone, question.size) for stone in stones]
    # What has one concentration counts as three alike.
    three = [np.broadcast_to(bodies(one, palette.cuts[one.cut]), (3, len(WAVELENGTHS))) for one in stones]
    together = colours(
        glass, films, np.stack(three, axis=1), np.array([stone_size(name).nominal_mm for name in sizes]),
        place, question.cloth.reflectance, question.viewer,
    )  # fmt: skip
    ends = np.cumsum([film.count for _, film in films])
    for (coating, film), nodes in zip(films, np.split(together.nodes, ends[:-1]), strict=True):
        for number, found in enumerate(_fits(question, place, coating, film, nodes, together.widely)):
            stone = stones[number]
            if wanted(stone, coating):
                cut, size = palette.cuts[stone.cut], sizes[number]
                asked = replace(question, stone=stone, cut=cut, coating=coating, size=size)
                plain = asks_finish or question.wish == "contrast" or finish_of(cut, coating) == "plain"
                lab, swatch, apart, outcome, lots, ill = found
                own = ("stone", stone.id) in palette.own
                weight = 0.0 if plain else UNASKED_FINISH
                yield Ranked(asked, lab, swatch, apart, outcome, lots, ill + weight, own, plain)


def _fits(
    question: Question, place: Scene, coating: Coating | None, film: States, xyz: Floats, widely: Floats
) -> Iterator[tuple[Floats, Floats, float, Outcome, float, float]]:
    """Yield the figures of `Ranked` for each of S stones, from their colours (T, 3, S, 3)."""
    # All stones at once: to the lots, a stone is three more values of a state.
    nodes = xyz.reshape(len(xyz), 3, -1)
    spread = coating.stone_spread if coating else 0.0
    lab = perceived(nominal(film, spread, nodes).reshape(-1, 3), place)
    lots = draw(coating, LOTS)
    lot_xyz = spread_over(film, spread, nodes, lots) * leaning(widely.reshape(3, -1), lots)
    lot_xyz = lot_xyz.reshape(LOTS, -1, 3)
    lot_lab = perceived(lot_xyz.transpose(1, 0, 2), place)
    swatch = cloth_lab(question.swatch.reflectance, place)
    ill, lots_ill = ill_served(lab, swatch, question), ill_served(lot_lab, swatch, question)
    scores, apart = score(lab, lot_lab, swatch, question), delta_e(lab, swatch)
    for i, one in enumerate(lab):
        lots_fit = float((lots_ill[i] <= JUST).mean())
        yield one, swatch, float(apart[i]), outcome_of(float(ill[i])), lots_fit, float(scores[i])


TONE_STEP = 8.0
"""Difference in L* from which a stone counts as another tone of the same hue (our choice)."""

ENOUGH_CONTRAST = 4.0
"""Times the least contrast beyond which more is no better (our choice)."""

WORD_WEIGHT = 0.5
"""What everyday words that differ by as much as is allowed weigh against a distance of as much as is
allowed: less, since the distance has most of it in itself (our choice)."""

BY_FILM = 0.4
"""What it weighs, likewise, that people call the stone without its film by another word than the swatch: a
scarlet that only its film makes pink is pink from one side, and a maker who wants pink takes a pink stone
(our choice)."""

UNASKED_FINISH = 1.0
"""What a finish that nobody asked for weighs, likewise: a half mirror or a dome is a second choice even
beside plain facets that miss by as much again as is allowed (our choice)."""


def score(lab: Floats, lots: Floats, swatch: Floats, question: Question) -> Floats:
    """Return (S,) how ill pairings serve the wish; 0 is perfect, 1 about the limit.

    blend and tone: distance and everyday word that three lots in four stay within; for tone also what
    is missing to a clear step of lightness. contrast: what is missing to a strong one in the lot that
    is nearest to the swatch of four.

    Parameters
    ----------
    lab, lots
        (S, 3) CIELAB of the nominal lots and (S, N, 3) of N lots.
    swatch
        (3,)
    question
        For its wish and tolerance.

    """
    far, word = served(lots, swatch, question)
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
        lab = perceived(nominal(film, spread, found), place)
        yield venue, lab, cloth_lab(question.swatch.reflectance, place)
