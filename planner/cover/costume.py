"""A whole costume: its outline with named parts, and where on it the stones of a job's areas lie.

Millimetres on one sheet, x to the right, y down; a back is drawn beside its front. Outlines of our own are
scaled to the wearer: across by what goes round the body at that height, down by how tall she is.
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

from planner.catalogue.errors import suggest
from planner.cover.count import lines_of
from planner.cover.layout import Layout, layout
from planner.cover.outline import along
from planner.cover.path import corners
from planner.cover.surface import worn_mm
from planner.cover.svg import paths
from planner.data import shared
from planner.job.area import Area
from planner.job.model import Job, Line
from planner.optics.arrays import Floats, Ints
from planner.refusal import InvalidValue, Refusal, show

_APART = 50.0
"""Millimetres between a front and its back on the sheet."""

SUFFIX = ".svg"
"""What the name of an outline ends in that is a file of the maker's own."""


@dataclass(frozen=True, eq=False)
class Outline:
    """The parts of a costume, and the lines that rows of stones may follow; (N, 2) corners, mm."""

    name: str
    parts: Mapping[str, Floats]
    lines: Mapping[str, Floats]

    @property
    def box(self) -> tuple[Floats, Floats]:
        """The least and the largest x and y."""
        points = np.concatenate([*self.parts.values(), *self.lines.values()])
        return points.min(axis=0), points.max(axis=0)


@dataclass(frozen=True, eq=False)
class Dressed:
    """A costume with its stones."""

    outline: Outline
    lines: tuple[Line, ...]
    """The job's lines that lie on it."""
    centres: Floats
    """(S, 2) mm on the sheet."""
    diameters: Floats
    """(S,) mm."""
    which: Ints
    """(S,) places in `lines`."""
    left_out: tuple[str, ...]
    """Names of areas that no part is named for."""
    beyond: int
    """Stones that would lie off their part, and are left out."""


def names() -> tuple[str, ...]:
    """Return the names of our own outlines."""
    return tuple(one["name"] for one in _table()["outline"])


@cache
def _table() -> dict:  # type: ignore[type-arg]  # our own file
    return tomllib.loads(shared("outlines.toml").read_text(encoding="utf-8"))


def outline_of(job: Job, folder: Path) -> Outline:
    """Return a job's outline, scaled to its wearer; a file of the maker's own is found from `folder`.

    Raises
    ------
    Refusal
        If the job names none, or what it names is not there or cannot be read.

    """
    if job.outline is None:
        raise Refusal(
            f'the job has no outline; add outline = "leotard" to it, or one of {_listed(names())}, or a file'
        )
    if job.outline.lower().endswith(SUFFIX):
        return _own(folder / job.outline)
    found = next((one for one in _table()["outline"] if one["name"] == job.outline), None)
    if found is None:
        raise Refusal(
            f"field outline: found {show(job.outline)}; allowed are {_listed(names())}, or a file whose name "
            f"ends in {SUFFIX}"
        )
    return _scaled(found, job)


def _own(file: Path) -> Outline:
    parts, lines = dict[str, Floats](), dict[str, Floats]()
    for name, data in paths(file).items():
        try:
            points, closed = corners(data)
        except InvalidValue as problem:
            raise Refusal(f"{file}, path {show(name)}: {problem}") from None
        (parts if closed else lines)[name] = points
    if not parts:
        raise Refusal(f"{file}: found no closed path; a part is closed, a line is open")
    return Outline(file.name, parts, lines)


def _scaled(table: Mapping, job: Job) -> Outline:  # type: ignore[type-arg]  # our own file
    wearer = _table()["wearer"]
    tall = (job.height_cm or wearer["height_cm"]) / wearer["height_cm"]
    levels = [wearer[f"{one}_at"] for one in ("chest", "waist", "hips")]
    given = (job.chest_cm, job.waist_cm, job.hips_cm)
    usual = [wearer[f"{one}_cm"] for one in ("chest", "waist", "hips")]
    wide = [(own or one) / one for own, one in zip(given, usual, strict=True)]

    def fitted(points: Floats) -> Floats:
        across = points[:, 0] * np.interp(points[:, 1], levels, wide)
        return 10.0 * np.stack([across, points[:, 1] * tall], axis=1)

    parts, lines = dict[str, Floats](), dict[str, Floats]()
    backs = set()
    for one in table["part"]:
        points = fitted(corners(one.get("half", one.get("pair")))[0])
        mirrored = points[::-1] * [-1.0, 1.0]
        if "half" in one:
            here = {one["name"]: np.concatenate([points, mirrored])}
        else:
            here = {f"left {one['name']}": mirrored, f"right {one['name']}": points}
        parts |= here
        backs |= set(here) if one.get("back") else set()
    for one in table["line"]:
        points = fitted(corners(one["path"])[0])
        here = {one["name"]: points}
        if one.get("both"):
            here = {f"left {one['name']}": points * [-1.0, 1.0], f"right {one['name']}": points}
        lines |= here
        backs |= set(here) if one.get("back") else set()
    right = max(points[:, 0].max() for name, points in parts.items() if name not in backs)
    left = min((parts[name][:, 0].min() for name in backs & set(parts)), default=0.0)
    aside = np.array([right - left + _APART, 0.0])
    for found in (parts, lines):
        found |= {name: points + aside for name, points in found.items() if name in backs}
    return Outline(table["name"], parts, lines)


def dressed(job: Job, outline: Outline) -> Dressed:
    """Return where the stones of a job lie on its outline.

    Raises
    ------
    Refusal
        If an area's part is not of the outline, or its stones would overlap.

    """
    lines = tuple(dict.fromkeys(line for area in job.areas for line in lines_of(area, job)))
    found: list[tuple[Floats, Floats, Ints]] = []
    left_out, beyond = list[str](), 0
    for area in job.areas:
        if area.part is None:
            left_out.append(area.name)
            continue
        own = lines_of(area, job)
        drawn = _one_whole(layout(area, own))
        kinds = np.array([lines.index(line) for line in own])
        for part, centres in _placed(area, drawn, outline):
            on_it = ~np.isnan(centres[:, 0]) if part is None else within(part, centres)
            found.append((centres[on_it], drawn.diameters[on_it], kinds[drawn.which[on_it]]))
            beyond += int((~on_it).sum())
    if not found:
        found = [(np.zeros((0, 2)), np.zeros(0), np.zeros(0, int))]
    centres, diameters, which = (np.concatenate(part) for part in zip(*found, strict=True))
    return Dressed(outline, lines, centres, diameters, which, tuple(left_out), beyond)


def within(polygon: Floats, points: Floats) -> Ints:
    """Return which of (N, 2) points lie inside a closed polygon, (N,): rays cross it an odd many times."""
    odd = np.zeros(len(points), bool)
    x, y = points.T
    for (x0, y0), (x1, y1) in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        if y0 != y1:
            odd ^= ((y0 > y) != (y1 > y)) & (x < x0 + (y - y0) * (x1 - x0) / (y1 - y0))
    return odd


def _one_whole(drawn: Layout) -> Layout:
    return replace(drawn, centres=drawn.centres - [drawn.piece.left, drawn.piece.top])


def _placed(area: Area, drawn: Layout, outline: Outline) -> Sequence[tuple[Floats | None, Floats]]:
    """Return the parts that an area is on, and where its stones lie on the sheet; None for a line."""
    name = area.part or ""
    sides = [name] if name in {*outline.parts, *outline.lines} else [f"left {name}", f"right {name}"]
    if any(one not in {*outline.parts, *outline.lines} for one in sides):
        known = [*outline.parts, *outline.lines]
        raise Refusal(
            f"job area {show(area.name)}, field part: found {show(name)}; the outline {show(outline.name)} "
            f"has {_listed(known)}{_hint(name, known)}"
        )
    if sides[0] in outline.lines:
        return [(None, _on_line(area, drawn, outline.lines[one])) for one in sides]
    placed = []
    for number in range(max(len(sides), min(area.times, 2))):
        mirrored = number == 1
        part = outline.parts[sides[number % len(sides)]]
        placed.append((part, _on_part(area, drawn, part, mirrored=mirrored)))
    return placed


def _on_line(area: Area, drawn: Layout, line: Floats) -> Floats:
    """Lay a band along a line, from its middle to both sides; what is too long is left off."""
    if area.shape != "band":
        raise Refusal(
            f"job area {show(area.name)}, field part: found a line of the outline; only a band follows one"
        )
    length = float(np.hypot(*np.diff(line, axis=0).T).sum())
    offset = drawn.centres - 0.5 * np.array([drawn.piece.width, drawn.piece.height])
    share = 0.5 + offset[:, 0] / length
    kept = share.clip(0.0, 1.0)
    ahead, behind = along(line, (kept + 1e-3).clip(0.0, 1.0)), along(line, (kept - 1e-3).clip(0.0, 1.0))
    way = ahead - behind
    way /= np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    points = along(line, kept) + offset[:, 1:] * np.stack([-way[:, 1], way[:, 0]], axis=1)
    points[(share < 0.0) | (share > 1.0)] = np.nan
    return points


def _on_part(area: Area, drawn: Layout, part: Floats, *, mirrored: bool) -> Floats:
    """Lay an area on a part, by the shares of the room about it that are left and above."""
    piece = np.array([drawn.piece.width, drawn.piece.height])
    if area.pattern != "motif":
        piece = np.maximum(piece, worn_mm(area))
    turn = np.radians(area.turned)
    cos, sin = np.cos(turn), np.sin(turn)
    points = (drawn.centres - 0.5 * piece) @ np.array([[cos, sin], [-sin, cos]])
    room = np.abs(np.array([[cos, sin], [sin, cos]])) @ piece
    least, most = part.min(axis=0), part.max(axis=0)
    across, down = area.place
    middle = least + 0.5 * room + np.array([across, down]) * (most - least - room)
    if mirrored:
        middle[0] = least[0] + most[0] - middle[0]
        points = points * [-1.0, 1.0]
    return middle + points


def _hint(name: str, known: Sequence[str]) -> str:
    return "" if not name else f": {suggest(name, known)}"


def _listed(known: Sequence[str]) -> str:
    return ", ".join(f'"{one}"' for one in known)
