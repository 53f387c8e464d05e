"""Where each stone of a pattern lies: places for a picture, not a template to set stones by.

Scatter, gradient and full cover are drawn for a piece of the area, so that a train of cloth needs no
more places than a picture shows. The same area and piece always give the same places.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.catalogue.sizes import size
from planner.cover.count import apportioned, line_step, stones_along, stones_on, stones_per_mm2
from planner.cover.density import GAP_MM
from planner.cover.outline import along, curves, inside
from planner.cover.surface import edges, worn_mm
from planner.job.area import Area
from planner.job.model import Line
from planner.optics.arrays import Floats, Ints
from planner.refusal import InvalidValue

MOST_STONES = 8_000
"""Stones that a layout of a surface may hold; ask for a smaller piece beyond."""

_SEED = 20_08
"""Of every layout; any number would do."""

_JITTER = 0.9
"""Share of the free way between two stones that a scatter uses up: it should not look ruled."""

_SOFT = 0.25
"""How far, as a share of what each line has, stones of a run stray into the next (standard deviation)."""

_ROUNDS = 800
"""Most rounds in which stones that overlap are moved apart."""

_NEAR = 0.5
"""How much further neighbours are looked for than they matter, as a share: they are all there are until
stones have moved half of that towards each other."""

_PAIRS = 6_000_000
"""Most pairs of neighbours looked at in all rounds: about a second."""


@dataclass(frozen=True)
class Piece:
    """A rectangle of the cloth, mm from the upper left corner of the area's frame."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, eq=False)
class Layout:
    """S stones on a piece of an area."""

    piece: Piece

    centres: Floats
    """(S, 2) mm from the upper left corner of the area's frame; x to the right, y down."""

    diameters: Floats
    """(S,) mm."""

    which: Ints
    """(S,) place of each stone's line in the area's mix, from 0."""


def layout(area: Area, lines: Sequence[Line], piece: Piece | None = None) -> Layout:
    """Return where the stones of one such area lie, as worn.

    Parameters
    ----------
    area
        The area.
    lines
        The lines of its mix, in that order.
    piece
        Which part of it; the whole when not given.

    Raises
    ------
    Refusal
        If stones would overlap at the spacing given.
    ValueError
        If there are more than `MOST_STONES`.

    """
    stones_on(area, lines)  # refuses a spacing that cannot be
    widths = np.array([size(line.size).nominal_mm for line in lines])
    wide, high = worn_mm(area)
    if area.pattern == "motif":
        return _motif(area, widths)
    whole = Piece(0.0, 0.0, wide, high)
    if "line" in area.pattern:
        rows = _rows(area, lines, widths, whole)
        return rows if piece is None else _crop(rows, piece)
    piece = whole if piece is None else piece
    if piece.width * piece.height * stones_per_mm2(area, list(widths)) > MOST_STONES:
        raise InvalidValue(f"a layout may hold at most {MOST_STONES:,} stones; choose a smaller piece")
    rng = np.random.default_rng(_SEED)
    margin = 2.0 * float(widths.max())
    centres = _grid(area, list(widths), _grown(piece, margin))
    centres = centres[inside(area, centres)]
    which = _run(area, centres, rng) if area.run else _shared_out(area, len(centres), rng)
    diameters = widths[which]
    if area.pattern != "full":
        centres = _strewn(area, centres, float(widths.max()), rng)
    keep = inside(area, centres)
    moved = _apart(area, centres[keep], diameters[keep])
    return _crop(Layout(piece, moved, diameters[keep], which[keep]), piece)


def _grown(piece: Piece, margin: float) -> Piece:
    return Piece(
        piece.left - margin, piece.top - margin, piece.width + 2.0 * margin, piece.height + 2.0 * margin
    )


def _crop(whole: Layout, piece: Piece) -> Layout:
    """Return the stones whose middles lie in a piece; those on its edge too."""
    offset = whole.centres - [piece.left, piece.top]
    keep = ((offset >= -1e-6) & (offset <= np.array([piece.width, piece.height]) + 1e-6)).all(axis=1)
    return Layout(piece, whole.centres[keep], whole.diameters[keep], whole.which[keep])


def _shared_out(area: Area, count: int, rng: np.random.Generator) -> Ints:
    """Return which line each of `count` stones is of, in no order."""
    each = apportioned(count, [parts for _, parts in area.mix])
    return np.asarray(rng.permutation(np.repeat(np.arange(len(each)), each)))


def _run(area: Area, centres: Floats, rng: np.random.Generator) -> Ints:
    """Return which line each stone is of where lines follow one another from the dense end of an area.

    Each goes over into the next about as far as half of what it has alone.
    """
    each = apportioned(len(centres), [parts for _, parts in area.mix])
    _, high = worn_mm(area)
    down = centres[:, 1] / max(high, 1.0)
    if area.shape == "triangle":
        down = 1.0 - down
    soft = rng.normal(0.0, _SOFT / max(1, len(each)), len(centres))
    which = np.empty(len(centres), int)
    which[np.argsort(down + soft, kind="stable")] = np.repeat(np.arange(len(each)), each)
    return which


def _rows(area: Area, lines: Sequence[Line], widths: Floats, whole: Piece) -> Layout:
    """Return single or double lines; kinds alternate as evenly as their parts allow."""
    step = line_step(area, lines)
    if area.shape == "band":
        insets = (0.0,) if area.pattern == "single line" else (-0.5 * step, 0.5 * step)
        rows = [(edges(area)[0], curves(area, inset)[0]) for inset in insets]
    else:
        insets = (0.0,) if area.pattern == "single line" else (0.0, step)
        rows = [row for inset in insets for row in zip(edges(area, inset), curves(area, inset), strict=True)]
    found = []
    for number, (edge, curve) in enumerate(rows):
        count = stones_along(edge, step, float(widths.max()))
        if edge.closed:
            # The inner row of two stands between the stones of the outer one.
            shift = 0.5 if number >= len(rows) // len(insets) else 0.0
            found.append(along(curve, (np.arange(count) + shift) / max(1, count)))
        else:
            places = 0.5 + (np.arange(count) - 0.5 * (count - 1)) * step / edge.length_mm
            found.append(along(curve, places))
    centres = np.concatenate(found)
    parts = [parts for _, parts in area.mix]
    which = _alternating(parts, len(centres))
    if area.run:
        which = np.concatenate([_following(parts, len(row)) for row in found])
    # Round a sharp corner, stones a step apart along the row come too near.
    return Layout(whole, _apart(None, centres, widths[which]), widths[which], which)


def _following(parts: Sequence[float], count: int) -> Ints:
    """Return which kind comes at each place of a row where kinds follow one another."""
    return np.repeat(np.arange(len(parts)), apportioned(count, parts))


def _alternating(parts: Sequence[float], count: int) -> Ints:
    """Return which kind comes at each place, so that every stretch holds its share.

    The counts are those of `apportioned`; each kind's stones are spread evenly over the row.
    """
    each = apportioned(count, parts)
    places = np.concatenate([(np.arange(one) + 0.5) / max(1, one) for one in each])
    kinds = np.repeat(np.arange(len(each)), each)
    return np.asarray(kinds[np.lexsort((kinds, places))])


def _grid(area: Area, widths: Sequence[float], piece: Piece) -> Floats:
    """Return the places of a triangular lattice, whose step widens down a gradient."""
    if area.pattern == "gradient":
        return _widening(area, piece)
    pitch = float(np.sqrt(2.0 / (np.sqrt(3.0) * stones_per_mm2(area, widths))))
    step = pitch * np.sqrt(0.75)
    first, last = (int(np.floor(at / step)) for at in (piece.top, piece.top + piece.height))
    left, right = (int(np.floor(at / pitch)) for at in (piece.left, piece.left + piece.width))
    row, column = (
        part.ravel() for part in np.mgrid[first - 1 : last + 2, left - 1 : right + 2].astype(float)
    )
    return np.stack([(column + 0.5 * (row % 2) + 0.25) * pitch, (row + 0.5) * step], axis=1)


def _widening(area: Area, piece: Piece) -> Floats:
    """Return rows whose stones, and whose distance from row to row, widen with the spacing."""
    wide, high = worn_mm(area)
    dense, sparse = area.spacing_mm or 0.0, area.end_spacing_mm or 0.0
    growth = (sparse - dense) / high
    # Row by row √¾ of the spacing there: dy / s(y) is √¾ from one to the next.
    if growth * high < 1e-6 * dense:
        levels = (np.arange(int(high / (np.sqrt(0.75) * dense)) + 1) + 0.5) * np.sqrt(0.75) * dense
    else:
        rows = int(np.log(sparse / dense) / growth / np.sqrt(0.75)) + 1
        # On a spot the first row may lie far beyond the sparse end; that far is enough.
        steps = np.minimum(growth * np.sqrt(0.75) * (np.arange(rows) + 0.5), 50.0)
        levels = dense * np.expm1(steps) / growth
    found = [np.zeros((0, 2))]
    for number, level in enumerate(levels):
        y = high - level if area.shape == "triangle" else level
        if not piece.top <= y <= piece.top + piece.height:
            continue
        spacing = dense + growth * level
        left, right = ((at - 0.5 * wide) / spacing for at in (piece.left, piece.left + piece.width))
        column = np.arange(np.floor(left) - 1.0, np.ceil(right) + 1.0) + 0.5 * (number % 2) + 0.25
        found.append(np.stack([0.5 * wide + column * spacing, np.full(len(column), y)], axis=1))
    return np.concatenate(found)


def _strewn(area: Area, centres: Floats, widest: float, rng: np.random.Generator) -> Floats:
    """Return places moved at random as far as the free way between stones allows."""
    spacing = np.full(len(centres), float(area.spacing_mm or 0.0))
    if area.pattern == "gradient":
        _, high = worn_mm(area)
        down = centres[:, 1] / high
        down = 1.0 - down if area.shape == "triangle" else down
        spacing += ((area.end_spacing_mm or 0.0) - spacing) * np.clip(down, 0.0, 1.0)
    reach = 0.5 * _JITTER * np.maximum(0.0, spacing - widest) * np.sqrt(rng.random(len(centres)))
    way = 2.0 * np.pi * rng.random(len(centres))
    return centres + reach[:, None] * np.stack([np.cos(way), np.sin(way)], axis=1)


def _apart(area: Area | None, centres: Floats, diameters: Floats) -> Floats:
    """Return places from which stones that overlap have been pushed apart, none off the area.

    Each overlap is shared by both stones, round by round, until all keep a third of `GAP_MM`.
    """
    if len(centres) < 2:
        return centres
    from scipy.spatial import cKDTree

    centres = centres.copy()
    gap = GAP_MM / 3.0
    reach = float(diameters.max()) + gap
    first = second = np.zeros(0, int)
    found_at = np.full_like(centres, np.inf)
    looked_at = 0
    for _ in range(_ROUNDS):
        if np.abs(centres - found_at).max() > _NEAR * reach / 4.0:
            pairs = cKDTree(centres).query_pairs((1.0 + _NEAR) * reach, output_type="ndarray")
            first, second, found_at = pairs[:, 0], pairs[:, 1], centres
        between = centres[second] - centres[first]
        distance = np.maximum(np.hypot(*between.T), 1e-9)
        looked_at += int(np.count_nonzero(distance <= reach))
        short = 0.5 * (diameters[first] + diameters[second]) + gap - distance
        if looked_at > _PAIRS or not (close := short > 1e-3 * gap).any():
            break
        push = (0.55 * short / distance)[close, None] * between[close]
        ends = np.concatenate([second[close], first[close]])
        pushed = [np.bincount(ends, np.concatenate([part, -part]), len(centres)) for part in push.T]
        moved = centres + np.stack(pushed, axis=1)
        if area is not None:
            # A stone pushed over the edge goes a little inwards instead, so that it can slip past others.
            out = ~inside(area, moved)
            inwards = 0.5 * np.array(worn_mm(area)) - centres[out]
            inwards /= np.maximum(np.hypot(*inwards.T), 1.0)[:, None]
            moved[out] = centres[out] + gap * inwards
        centres = moved
    return centres


def _motif(area: Area, widths: Floats) -> Layout:
    """Return a motif's stones as a rosette, the largest in the middle: the job says how many, not where."""
    which = np.repeat(np.arange(len(widths)), [int(parts) for _, parts in area.mix])
    which = which[np.argsort(-widths[which], kind="stable")]
    diameters = widths[which]
    # H. Vogel, "A better way to construct the sunflower head", Math. Biosci. 44 (1979): equal ground each.
    ground = np.cumsum(0.25 * np.pi * (diameters + GAP_MM) ** 2) - 0.125 * np.pi * (diameters + GAP_MM) ** 2
    turn = np.arange(len(which)) * np.pi * (3.0 - np.sqrt(5.0))
    radius = np.sqrt(ground / (0.75 * np.pi)) * (np.arange(len(which)) > 0)
    centres = _apart(None, radius[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1), diameters)
    reach = np.abs(centres).max() + 0.5 * float(widths.max()) + 1.0
    return Layout(Piece(0.0, 0.0, 2.0 * reach, 2.0 * reach), centres + reach, diameters, which)
