"""Paths as SVG 2 writes them (W3C, "Paths", section 9.3), as corners of straight pieces.

Moves, lines and Bézier curves, absolute and relative; arcs are refused. A path has one stroke.
"""

import re
from itertools import pairwise

import numpy as np

from planner.optics.arrays import Floats
from planner.refusal import InvalidValue

MOST_CORNERS = 20_000
"""Of one path."""

MOST_LETTERS = 200_000
"""Of one path's text."""

_PIECES = 16
"""Straight pieces of a curve."""

_TOKEN = re.compile(r"[A-Za-z]|[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_EMPTY = re.compile(r"[\s,]*")
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "Z": 0}


def corners(text: str) -> tuple[Floats, bool]:
    """Return the corners (N, 2) of a path, and whether it is closed.

    Raises
    ------
    InvalidValue
        Saying what cannot be read, of a path that is no single stroke or too long.

    """
    if len(text) > MOST_LETTERS:
        raise InvalidValue(f"found a path of {len(text):,} characters; at most {MOST_LETTERS:,} are read")
    found: list[Floats] = []
    here = start = handle = np.zeros(2)
    closed, count = False, 0
    for command, values in _commands(text):
        kind, offset = command.upper(), here if command.islower() else np.zeros(2)
        if closed or (kind == "M" and found):
            raise InvalidValue("found a path of several strokes; give each a path of its own")
        if kind == "M":
            here = start = handle = offset + values
            found.append(here[None])
        elif kind == "Z":
            closed, here = True, start
        elif kind in "HV":
            axis = 0 if kind == "H" else 1
            here = handle = np.where(np.arange(2) == axis, offset + values[0], here)
            found.append(here[None])
        else:
            points = offset + np.reshape(values, (-1, 2))
            if kind in "ST":
                points = np.vstack([2.0 * here - handle, points])
            found.append(_curve(np.vstack([here, points])))
            here, handle = points[-1], points[-1] if kind == "L" else points[-2]
        count += len(found[-1]) if found else 0
        if count > MOST_CORNERS:
            raise InvalidValue(f"found a path of over {MOST_CORNERS:,} corners; draw it with fewer")
    if count < 2:
        raise InvalidValue("found a path without a line; it must go somewhere")
    return np.concatenate(found), closed


def _curve(handles: Floats) -> Floats:
    """Return the corners after the first of a Bézier curve with these handles (de Casteljau)."""
    if len(handles) == 2:
        return handles[1:]
    at = np.linspace(0.0, 1.0, _PIECES + 1)[1:, None]
    points = [np.broadcast_to(one, (len(at), 2)) for one in handles]
    while len(points) > 1:
        points = [a + at * (b - a) for a, b in pairwise(points)]
    return np.asarray(points[0])


def _commands(text: str) -> list[tuple[str, Floats]]:
    """Return each command with its numbers."""
    rest = _TOKEN.sub(" ", text)
    if not _EMPTY.fullmatch(rest):
        raise InvalidValue(
            f'found "{rest.strip()[:20]}" in a path; it takes numbers and the letters of SVG paths'
        )
    found: list[tuple[str, Floats]] = []
    tokens = _TOKEN.findall(text)
    place, command = 0, ""
    while place < len(tokens):
        if tokens[place].isalpha():
            command, place = tokens[place], place + 1
        elif not command or command in "Zz":
            raise InvalidValue(f'found "{tokens[place]}" in a path where a letter should stand')
        takes = _TAKES.get(command.upper())
        if takes is None or (not found and command not in "Mm"):
            raise InvalidValue(
                f'found "{command}" in a path; it must begin with M, and go on with L, H, V, C, S, Q, T or Z'
            )
        numbers = tokens[place : place + takes]
        if len(numbers) < takes or any(one.isalpha() for one in numbers):
            raise InvalidValue(f'found "{command}" in a path with too few numbers; it takes {takes}')
        values = np.array(numbers, float)
        if not (np.abs(values) < 1e6).all():
            raise InvalidValue("found a number in a path beyond a million")
        found.append((command, values))
        place += takes
        # Further pairs after a move are lines.
        command = {"M": "L", "m": "l"}.get(command, command)
    if not found:
        raise InvalidValue("found an empty path")
    return found
