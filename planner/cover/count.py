"""Counts: how many stones of each line an area takes, and what the whole job needs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size
from planner.cover.density import GAP_MM, HAND_SET, at_spacing, close_set, gradient_mean
from planner.cover.need import Need
from planner.cover.surface import MM2_PER_CM2, Edge, edges, sleeve_ends_mm, surface_cm2
from planner.job.area import Area
from planner.job.check import unknown_names
from planner.job.model import Job, Line
from planner.refusal import Refusal, show

_SLIP = 1e-9
"""Added before a count is rounded down, so that 10 cm at 1 cm are ten steps and not 9.9999."""


@dataclass(frozen=True)
class LineCount:
    """Stones of one line on one area, all its occurrences together."""

    line: Line
    stones: int


@dataclass(frozen=True)
class AreaCount:
    """What one area takes, all its occurrences together."""

    area: Area

    lines: tuple[LineCount, ...]
    """In the order of its mix."""

    surface_cm2: float | None
    """Worn surface, all occurrences, cm²; None where it is not given."""

    hidden: float | None
    """Share of that surface which the stones hide; None where the surface is not given."""

    @property
    def stones(self) -> int:
        """All stones on it."""
        return sum(one.stones for one in self.lines)


def counts(job: Job) -> tuple[AreaCount, ...]:
    """Return what each area of a job takes, in the order of the job.

    Raises
    ------
    Refusal
        If stones would overlap at the spacing of an area.

    """
    return tuple(area_count(area, job) for area in job.areas)


def area_count(area: Area, job: Job) -> AreaCount:
    """Return what one area of a job takes; raises as `counts`."""
    lines = lines_of(area, job)
    each = stones_each(area, lines)
    surface = surface_cm2(area)
    hidden = None
    if surface is not None:
        discs = sum(0.25 * math.pi * _mm(line) ** 2 * count for line, count in zip(lines, each, strict=True))
        hidden = discs / (surface * MM2_PER_CM2)
    return AreaCount(
        area,
        tuple(LineCount(line, area.times * count) for line, count in zip(lines, each, strict=True)),
        None if surface is None else area.times * surface,
        hidden,
    )


def needs(job: Job, palette: Palette) -> tuple[Need, ...]:
    """Return what a job needs of each pairing in each size, in the order of its lines.

    Lines alike in stone, coating and size are one need; a line that no area takes needs nothing. Spares
    are the job's share of the stones worn, rounded up for each need, and its repair packet on top. Whole
    packs are no matter here: that rounding happens once, when packs are chosen.

    Raises
    ------
    Refusal
        If the job names something the palette does not have, or stones would overlap.

    """
    for sentence in unknown_names(job, palette):
        raise Refusal(sentence)
    worn: dict[tuple[str, str, str], int] = {}
    for line in job.lines:
        worn.setdefault((line.stone, line.coating, line.size), 0)
    for area in counts(job):
        for one in area.lines:
            worn[one.line.stone, one.line.coating, one.line.size] += one.stones
    return tuple(Need(*key, count, spares(count, job)) for key, count in worn.items() if count)


def spares(worn: int, job: Job) -> int:
    """Return the stones bought over `worn`: the job's share of them, rounded up, and the repair packet.

    The usual share, one in twenty, is for stones dropped, chipped, flooded with glue or set askew; the
    usual packet, two dozen, stays with the garment, because another batch bought later may not match
    (both common practice, no source).
    """
    return math.ceil(worn * job.spares - _SLIP) + job.repair if worn else 0


def unplaced(job: Job) -> tuple[Line, ...]:
    """Return the lines of a job that no area takes."""
    taken = {name for area in job.areas for name, _ in area.mix}
    return tuple(line for line in job.lines if line.name not in taken)


def lines_of(area: Area, job: Job) -> tuple[Line, ...]:
    """Return the lines that an area takes, in the order of its mix."""
    named = {line.name: line for line in job.lines}
    return tuple(named[name] for name, _ in area.mix)


def stones_each(area: Area, lines: Sequence[Line]) -> tuple[int, ...]:
    """Return how many stones of each line of its mix one such area takes; raises as `stones_on`."""
    parts, total = [part for _, part in area.mix], stones_on(area, lines)
    if area.pattern == "motif":
        return tuple(int(part) for part in parts)
    each = apportioned(total, parts)
    if area.pattern == "full":
        # On an area of a few stones, rounding the mix may favour the large ones.
        room = (surface_cm2(area) or 0.0) * MM2_PER_CM2 * HAND_SET + _SLIP
        while total and _taken(each, lines) > room:
            total -= 1
            each = apportioned(total, parts)
    return each


def _taken(each: Sequence[int], lines: Sequence[Line]) -> float:
    """Return the cloth, mm², that stones set close take up, with the gap round each."""
    discs = (count * (_mm(line) + GAP_MM) ** 2 for line, count in zip(lines, each, strict=True))
    return 0.25 * math.pi * sum(discs)


def stones_on(area: Area, lines: Sequence[Line]) -> int:
    """Return how many stones one such area takes, whichever they are; rounding its mix may drop a few.

    Parameters
    ----------
    area
        The area; counted as worn.
    lines
        The lines of its mix, in that order.

    Raises
    ------
    Refusal
        If stones would overlap at the spacing given.

    """
    if area.pattern == "motif":
        return int(sum(parts for _, parts in area.mix))
    _check_spacing(area, lines)
    widths = [_mm(line) for line in lines]
    if area.pattern in {"single line", "double line"}:
        step = line_step(area, lines)
        rows = edges(area) + (edges(area, step) if area.pattern == "double line" else ())
        return sum(stones_along(row, step, max(widths)) for row in rows)
    surface = (surface_cm2(area) or 0.0) * MM2_PER_CM2
    return math.floor(surface * stones_per_mm2(area, widths) + _SLIP)


def stones_per_mm2(area: Area, widths: Sequence[float]) -> float:
    """Return the mean number of stones per mm² of a scatter, a gradient or a full cover.

    A gradient is densest at the top of a shape, at the upper end of a sleeve, along the seam of a band
    and along the width of a triangle, and thins out evenly in its spacing toward the other end.
    """
    if area.pattern == "full":
        total = sum(parts for _, parts in area.mix)
        return close_set(widths, [parts / total for _, parts in area.mix])
    dense = area.spacing_mm or 0.0
    if area.pattern == "scatter":
        return at_spacing(dense)
    outline: tuple[float, float] | None = (1.0, 1.0)
    if area.shape == "circle":
        outline = None
    elif area.shape == "triangle":
        outline = (1.0, 0.0)
    elif area.shape == "sleeve":
        outline = sleeve_ends_mm(area)
    return at_spacing(1.0) * gradient_mean(dense, area.end_spacing_mm or dense, outline)


def line_step(area: Area, lines: Sequence[Line]) -> float:
    """Return the step from stone to stone of a line, and from row to row, mm: centre to centre.

    Where an area gives none, the largest stone of its mix and `GAP_MM` beside it.
    """
    return area.spacing_mm or max(map(_mm, lines)) + GAP_MM


def apportioned(total: int, parts: Sequence[float]) -> tuple[int, ...]:
    """Return `total` stones shared out by `parts`: whole numbers that add up to it.

    By largest remainders (Hamilton's method): each gets its share rounded down, and what is left goes to
    the largest fractions, the earlier one among equals.
    """
    whole = sum(parts)
    exact = [total * part / whole for part in parts]
    each = [math.floor(share + _SLIP) for share in exact]
    order = sorted(range(len(parts)), key=lambda place: (round(each[place] - exact[place], 9), place))
    for place in order[: total - sum(each)]:
        each[place] += 1
    return tuple(each)


def stones_along(row: Edge, step: float, widest: float) -> int:
    """Return how many stones stand on a row; on an open one the last ones end with it."""
    if row.closed:
        return math.floor(row.length_mm / step + _SLIP)
    return max(0, math.floor((row.length_mm - widest) / step + _SLIP) + 1)


def _check_spacing(area: Area, lines: Sequence[Line]) -> None:
    """Refuse a spacing at which the largest stones of a mix would overlap."""
    widest = max(lines, key=_mm)
    if area.spacing_mm is not None and area.spacing_mm < _mm(widest):
        raise Refusal(
            f"job area {show(area.name)}, field spacing_mm: found {area.spacing_mm:g} mm; {widest.size} is "
            f"{_mm(widest):g} mm wide, so its spacing must be at least that"
        )


def _mm(line: Line) -> float:
    return size(line.size).nominal_mm
