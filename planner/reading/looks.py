"""What a ranking looks at: every stone under every coating that it may carry, many in one go.

Stones of one glass and cut are taken together, and so are coatings that lie alike; what comes of it is kept
between runs (`planner.reading.together`), and a second process may share in it (`planner.reading.beside`).
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from functools import cached_property, partial
from typing import TypeAlias

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size as stone_size
from planner.catalogue.stone import Stone
from planner.colour.grid import WAVELENGTHS
from planner.optics.arrays import Floats
from planner.reading.among import white
from planner.reading.beside import beside
from planner.reading.finish import swallows_nothing
from planner.reading.matter import QUICK, Gem, Grade, gem, lay_angle
from planner.reading.question import Question, can_carry
from planner.reading.read import bodies
from planner.reading.scene import scene
from planner.reading.states import States, states
from planner.reading.steps import film_stride
from planner.reading.together import ColoursAsked, are_kept, colours

FEWEST, NODES = 7, 9
"""Fewest and most thickness nodes for each coating."""

TOGETHER, STONES = 6, 48
"""Coatings and stones computed in one go: enough for large products, few enough for memory."""

Choice = Callable[[Stone, Coating | None], bool]
"""Which pairings to look at."""


@dataclass(frozen=True, eq=False)
class Alike:
    """S stones of one glass and cut, in the sizes that they are looked at in."""

    glass: Gem
    grade: Grade
    stones: tuple[Stone, ...]
    cuts: tuple[Cut, ...]
    sizes: tuple[str, ...]
    whole: "Alike | None" = None
    """All of which these are some, if they are."""
    places: tuple[int, ...] = ()
    """Which of all they are then."""

    @cached_property
    def bodies(self) -> Floats:
        """(3, S, 81) absorption per mm at a low, the nominal and a high concentration.

        Worked out when it is first asked for, and then for all: for a stone known by its colour, beams are
        followed first.
        """
        if self.whole is not None:
            return self.whole.bodies[:, list(self.places)]
        # What has one concentration counts as three alike.
        each = (bodies(one, cut) for one, cut in zip(self.stones, self.cuts, strict=True))
        return np.stack([np.broadcast_to(one, (3, len(WAVELENGTHS))) for one in each], axis=1)

    @cached_property
    def millimetres(self) -> Floats:
        """(S,)."""
        return np.array([stone_size(name).nominal_mm for name in self.sizes])

    def only(self, ids: set[str]) -> "Alike":
        """Return some of them."""
        some = tuple(number for number, one in enumerate(self.stones) if one.id in ids)
        stones, cuts = tuple(self.stones[at] for at in some), tuple(self.cuts[at] for at in some)
        return Alike(self.glass, self.grade, stones, cuts, tuple(self.sizes[at] for at in some), self, some)


@dataclass(frozen=True, eq=False)
class Look:
    """What they look like under one coating."""

    alike: Alike
    coating: Coating | None
    film: States
    nodes: Floats
    """(T, 3, S, 3), see `planner.reading.together.Colours`."""
    widely: Floats
    """(3, S, 3), likewise."""
    whites: Floats
    """(S,) how light a clear stone beside each is, see `planner.reading.among.white`."""


def _alike(palette: Palette, question: Question, glass: Gem, grade: Grade, stones: Sequence[Stone]) -> Alike:
    cuts = tuple(palette.cuts[one.cut] for one in stones)
    return Alike(glass, grade, tuple(stones), cuts, tuple(nearest_size(one, question.size) for one in stones))


Job: TypeAlias = tuple[Alike, list[Coating | None]]
"""Stones and coatings that are looked at in one go."""


def all_jobs(
    palette: Palette, question: Question, stones: Sequence[Stone], coatings: Sequence[Coating | None],
    wanted: Choice, grade: Grade,
) -> list[Job]:  # fmt: skip
    """Return all that is to be looked at, the most first."""
    films, jobs = defaultdict(list), list[Job]()
    for coating in coatings:
        films[film_stride(coating, grade.stride, grade.miss)].append(coating)
    for some in films.values():
        chosen = defaultdict(list)
        for stone in stones:
            cut = palette.cuts[stone.cut]
            chosen[gem(stone, cut, grade, question.lean, coating=some[0])].append(stone)
        for glass, those in chosen.items():
            jobs += _jobs(_alike(palette, question, glass, grade, those), some, wanted)
    return sorted(jobs, key=lambda job: -len(job[0].stones) * len(job[1]))


def glass_by_glass(jobs: Sequence[Job]) -> list[Job]:
    """Return them so that beams are followed once, by whichever of two processes begins at either end.

    The most is to be done for the glasses at both ends: where the two meet, they do the same for a while.
    Least is to be done where light ends at the back.
    """
    most_first = sorted(dict.fromkeys(one.glass.shape for one, _ in jobs), key=lambda one: one.back == "sink")
    place = {shape: at for at, shape in enumerate([*most_first[::2], *most_first[1::2][::-1]])}
    return sorted(jobs, key=lambda job: place[job[0].glass.shape])


def _jobs(alike: Alike, coatings: Sequence[Coating | None], wanted: Choice) -> Iterator[Job]:
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


def look_at(question: Question, alike: Alike, coatings: Sequence[Coating | None]) -> list[Look]:
    """Return what stones look like under coatings that lie alike."""
    asked = _asked(question, alike, coatings)
    films, together = asked[1], colours(*asked)
    ends = np.cumsum([film.count for _, film in films])
    nodes = np.split(together.nodes, ends[:-1])
    each, whites = zip(films, nodes, together.widely.swapaxes(0, 1), strict=True), _whites(question, alike)
    return [Look(alike, *one, own, wide, whites) for one, own, wide in each]


def _whites(question: Question, alike: Alike) -> Floats:
    place, viewer = scene(question.venue), question.viewer
    return np.array(
        [
            white(cut, stone.material, float(wide), question.lean, place, viewer, alike.grade)
            for stone, cut, wide in zip(alike.stones, alike.cuts, alike.millimetres, strict=True)
        ]
    )


def is_looked_at(question: Question, alike: Alike, coatings: Sequence[Coating | None]) -> bool:
    """Say whether the colours that `look_at` returns are kept already."""
    return are_kept(*_asked(question, alike, coatings))


def _asked(question: Question, alike: Alike, coatings: Sequence[Coating | None]) -> ColoursAsked:
    films = [(coating, states(coating, full=False, least=FEWEST, most=NODES)) for coating in coatings]
    return (
        alike.glass, films, alike.bodies, alike.millimetres, scene(question.venue),
        question.cloth.reflectance, question.viewer,
    )  # fmt: skip


def shared(question: Question, jobs: Sequence[Job]) -> AbstractContextManager[None]:
    """Return a context in which a second process begins with the last of the jobs.

    Only where there is much to do.
    """
    if not jobs:
        return nullcontext()
    # Asked of what is soonest asked: a body known by its colour takes long to work out.
    least = min(jobs, key=lambda job: sum(stone.colour is not None for stone in job[0].stones))
    return beside(
        lambda: (look_at(question, *job) for job in reversed(jobs)), known=is_looked_at(question, *least)
    )


def _all_of(palette: Palette, question: Question) -> list[Job]:
    """Return all that `planner.reading.rank.rank` looks at in a palette's offers."""
    coatings, stones = [None, *palette.coatings.values()], list(palette.stones.values())
    return glass_by_glass(all_jobs(palette, question, stones, coatings, can_carry, QUICK))


def steps_ahead(palette: Palette, question: Question) -> list[Callable[[], object]]:
    """Return short steps that leave in the store what a ranking looks at for a question."""
    return [partial(look_at, question, *job) for job in _all_of(palette.offered, question)]


def look_ahead(palette: Palette, question: Question) -> Iterator[None]:
    """Leave in the store, step by step, what a ranking looks at for a question; the last first."""
    for job in reversed(_all_of(palette.offered, question)):
        if not is_looked_at(question, *job):
            look_at(question, *job)
        yield
