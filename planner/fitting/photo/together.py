"""All stones of one kind, over all shots of a card, as one colour and what it may be off by."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from planner.colour.difference import delta_e
from planner.fitting.card import metric
from planner.fitting.photo.shot import Shot, Stone
from planner.fitting.sight import Reckoned, Sight
from planner.optics.arrays import Floats
from planner.refusal import InvalidValue

ONE_STONE: Final = 2.0
"""Root mean square ΔE00 by which one stone of a lot, leaning a little, differs from the mean of all. This
and `ROOM` are as found by drawing jet, clear and three coloured stones, bare and coated, in uneven rooms
(``tests/speed/stone_photo_error.py``)."""

ROOM: Final = 1.5
"""Root mean square ΔE00 by which a shot's mean differs from the glow in wholly even light: stones mirror
the room, and the camera that stands before them."""

_BELIEF: Final = 3.0
"""As how many stones' evidence `ONE_STONE` counts beside the scatter that is seen."""

_FAR: Final = 6.0
"""ΔE00 from the median of its kind beyond which a stone counts less (Huber's weight)."""

LEAST_FLASHES: Final = 3
"""Fewest flashes that name the main hue of a kind's flash."""


@dataclass(frozen=True, eq=False)
class Kind:
    """The stones of one kind."""

    seen: Sight
    """Their glow."""
    stones: int
    shots: int
    scatter: float | None
    """Root mean square ΔE00 between them; None for a single one."""
    flashes: tuple[tuple[str, int], ...]
    """Hue families of their flashes with how many, the commonest first."""
    hidden: int
    """Flashes that told no hue."""
    odd: int
    """Stones far from the others, which count less."""

    @property
    def flash(self) -> str | None:
        """The main hue of the flash, where enough were told."""
        total = sum(count for _, count in self.flashes)
        return self.flashes[0][0] if total >= LEAST_FLASHES else None


def together(shots: Sequence[Shot], chosen: Sequence[Sequence[int]], text: str) -> Kind:
    """Return one kind of stone.

    Parameters
    ----------
    shots
        The photographs.
    chosen
        For each photograph, the numbers (from 0) of the stones of this kind on it.
    text
        What to call where it was seen.

    Raises
    ------
    ValueError
        If no stone was chosen, or none that was can be read.

    """
    by_shot = [
        [one for one in (shot.stones[n] for n in numbers) if one is not None]
        for shot, numbers in zip(shots, chosen, strict=True)
    ]
    stones = [one for some in by_shot for one in some]
    if not stones:
        why = [reason for shot in shots for reason in shot.unread]
        raise InvalidValue(why[0] if why else "no stone of that kind is marked on any photograph")
    seen_in = sum(bool(some) for some in by_shot)
    labs = np.array([one.lab for one in stones])
    far = delta_e(labs, np.median(labs, axis=0))
    weight = np.minimum(1.0, _FAR / np.maximum(far, 1e-9))
    weight /= weight.sum()
    lab = weight @ labs
    own, scatter = _own(stones, labs - lab, weight, lab, seen_in)
    shared = np.einsum("n,nij->ij", weight, np.array([one.shared for one in stones]))
    counts = Counter(family for one in stones for family in one.read.flashes)
    return Kind(
        Sight(text, "photo", lab, None, Reckoned(own, shared)), len(stones), seen_in, scatter,
        tuple(counts.most_common()), sum(one.read.hidden for one in stones), int((far > _FAR).sum()),
    )  # fmt: skip


def _own(
    stones: Sequence[Stone], off: Floats, weight: Floats, lab: Floats, shots: int
) -> tuple[Floats, float | None]:
    """Return (3, 3) what the mean is off by on its own, and how far stones lie apart."""
    even = np.linalg.inv(metric(lab))
    even = even @ even.T / 3.0
    number, count = len(stones), 1.0 / float(weight @ weight)
    seen = np.einsum("n,ni,nj->ij", weight, off, off) * number
    one = (_BELIEF * ONE_STONE**2 * even + seen) / (_BELIEF + number - 1)
    # What a camera makes of one colour it makes of it in every shot.
    own = np.einsum("n,nij->ij", weight, np.array([stone.own for stone in stones]))
    scatter = None if number == 1 else float(np.sqrt((delta_e(lab + off, lab) ** 2).mean()))
    return own + one / count + ROOM**2 / shots * even, scatter
