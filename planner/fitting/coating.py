"""From a sample card to the films that may lie on it, and to coatings that carry all of them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.catalogue.coating import Coating, Lay, Layer
from planner.colour.difference import delta_e
from planner.fitting.card import misfit, nominal, wider
from planner.fitting.films import MATERIALS, Films, films, glows
from planner.fitting.sight import Sample
from planner.fitting.sparkles import FlashSeen, flash_misfit
from planner.optics.arrays import Floats, Ints
from planner.refusal import InvalidValue

KEEP = 9.2
"""Films are kept whose likelihood is at least a hundredth of the best one's (2 ln 100): with three
unknowns the true one is then left out in about 3 cards of 100."""

_ALIKE = 0.2
"""Refractive indices nearer than this belong to one kind of film (our choice)."""

_APART = 10.0
"""Optical thicknesses, nm, between which a gap of more than this parts two orders (our choice)."""

LEAST_SHARE = 0.01
"""Kinds of film that are less likely than this are told, but get no entry (our choice)."""


@dataclass(frozen=True, eq=False)
class Order:
    """Films that look alike: one material (or its like) about one thickness."""

    share: float
    """How likely it is that the true film is one of these, 0 to 1."""
    material: str
    """The likeliest material."""
    nm: float
    """Mean thickness of films of that material among them."""
    optical: float
    """Optical thickness of `nm` at 550 nm, nm."""
    optical_spread: float
    """Relative spread of the optical thickness of all of them about that of `nm`."""
    evenness: float
    """Mean."""
    evenness_spread: float
    """Standard deviation."""
    materials: tuple[str, ...]
    """All materials among them, the likeliest first."""
    range_nm: tuple[float, float]
    """Least and largest thickness among those of the likeliest material."""


@dataclass(frozen=True, eq=False)
class Fitted:
    """The films that a sample card leaves."""

    samples: tuple[Sample, ...]
    flashes: tuple[FlashSeen, ...]
    films: Films
    """Every candidate there was."""
    kept: Ints
    """(K,) numbers of those that are left, the likeliest first."""
    weight: Floats
    """(K,) how likely each is; they add up to 1."""
    orders: tuple[Order, ...]
    """The likeliest first; their shares add up to 1."""
    wider: float
    """How many times as large errors had to be taken for the nearest films to explain the colours; 1 where
    they do as they are."""
    apart: tuple[float | None, ...]
    """For each sample, CIEDE2000 between what was seen and the likeliest film; None for a family."""

    @property
    def fits(self) -> bool:
        """Whether any film explains the colours within their errors."""
        return self.wider == 1.0


def fit_coating(samples: Sequence[Sample], flashes: Sequence[FlashSeen] = ()) -> Fitted:
    """Return the films that fit a sample card.

    Parameters
    ----------
    samples
        Coated stones with the colours of their glow in even daylight; at least one.
    flashes
        Main hues of flashes in venues with small lamps.

    Raises
    ------
    ValueError
        If there is no sample, or a flash was seen where no small lamp is.

    """
    if not samples:
        raise InvalidValue("a coating needs the glow of at least one coated stone, jet or clear if you can")
    for one in flashes:
        if not _has_lamp(one):
            raise InvalidValue(f"{one.venue.name} has no small lamp, so nothing flashes there")
    every = films()
    looks = glows([one.placed for one in samples])
    total = misfit(samples, looks)
    much = wider(float(total.min()), samples)
    total = total / much**2
    kept = np.flatnonzero(total <= total.min() + KEEP)
    left = total[kept]
    for one in flashes:
        left = left + flash_misfit(one, every, kept, left)
    likely = np.flatnonzero(left <= left.min() + KEEP)
    likely = likely[np.argsort(left[likely], kind="stable")]
    kept, left = kept[likely], left[likely]
    weight = np.exp(-0.5 * (left - left[0]))
    weight /= weight.sum()
    return Fitted(
        tuple(samples), tuple(flashes), every, kept, weight, _orders(every, kept, weight),
        much, _apart(samples, looks, int(kept[0])),
    )  # fmt: skip


def nearest_off(fitted: Fitted) -> float:
    """Return CIEDE2000 by which the likeliest film is off on the stone where it is off most."""
    return max((one for one in fitted.apart if one is not None), default=0.0)


def coatings(fitted: Fitted, entry_id: str, name: str) -> tuple[Coating, ...]:
    """Return entries that together carry what is known: one for each order, the likeliest first.

    Their ids end in -a, -b and so on where there are several, and their names in "1 of 2". How much
    batches differ is not to be seen on one card, so that stays the usual guess; what the card leaves open is
    in `index_spread` and `evenness_spread`.
    """
    orders = [one for one in fitted.orders if one.share >= LEAST_SHARE]
    return tuple(
        Coating(
            id=f"{entry_id}-{_letter(number)}" if len(orders) > 1 else entry_id,
            name=f"{name[:60]}, {number + 1} of {len(orders)}" if len(orders) > 1 else name,
            basis="estimated",
            layers=(Layer(material=one.material, nm=round(one.nm, 1)),),
            index_spread=round(min(0.5, max(0.01, one.optical_spread)), 3),
            lay=Lay(evenness=round(one.evenness, 2)),
            evenness_spread=round(min(0.5, max(0.05, one.evenness_spread)), 2),
        )
        for number, one in enumerate(orders)
    )


def _letter(number: int) -> str:
    return chr(ord("a") + number) if number < 26 else str(number + 1)


def _has_lamp(seen: FlashSeen) -> bool:
    from planner.reading.scene import scene

    return bool(scene(seen.venue).lamps)


def _apart(samples: Sequence[Sample], looks: Sequence[Floats], best: int) -> tuple[float | None, ...]:
    return tuple(
        None if one.seen.lab is None else float(delta_e(one.seen.lab, nominal(lab)[best]))
        for one, lab in zip(samples, looks, strict=True)
    )


def _orders(every: Films, kept: Ints, weight: Floats) -> tuple[Order, ...]:
    """Return films in groups that are continuous in optical thickness and alike in index."""
    group = _joined(every, kept)
    found = [_order(every, kept[group == one], weight[group == one]) for one in np.unique(group)]
    return tuple(sorted(found, key=lambda one: -one.share))


def _joined(every: Films, kept: Ints) -> Ints:
    """Return (K,) a number for each group, joining films that lie next to each other."""
    optical, index = every.optical[kept], every.index[kept]
    order = np.lexsort((optical, every.material[kept]))
    # Films of one material, without a gap, are one run.
    new = (np.diff(every.material[kept][order], prepend=-1) != 0) | (
        np.diff(optical[order], prepend=-np.inf) > _APART
    )
    run = np.empty(len(kept), int)
    run[order] = np.cumsum(new) - 1
    ends = [(optical[run == one].min(), optical[run == one].max()) for one in range(run.max() + 1)]
    indices = [index[run == one][0] for one in range(run.max() + 1)]
    name = list(range(len(ends)))
    for one in range(len(ends)):
        for other in range(one):
            gap = max(ends[one][0], ends[other][0]) - min(ends[one][1], ends[other][1])
            if abs(indices[one] - indices[other]) < _ALIKE and gap <= _APART:
                name = [name[other] if old == name[one] else old for old in name]
    return np.array(name)[run]


def _order(every: Films, kept: Ints, weight: Floats) -> Order:
    share = float(weight.sum())
    part = weight / share
    optical, evenness = every.optical[kept], every.evenness[kept]
    by_material = np.bincount(every.material[kept], part, len(MATERIALS))
    first = int(by_material.argmax())
    mine = every.material[kept] == first
    own = every.nm[kept][mine]
    nm, even = float(part[mine] @ own / part[mine].sum()), float(part @ evenness)
    middle = nm * float(every.index[kept][mine][0])
    spread = float(np.sqrt(part @ (optical - middle) ** 2))
    return Order(
        share, MATERIALS[first], nm, middle, spread / middle, even,
        float(np.sqrt(part @ (evenness - even) ** 2)),
        tuple(MATERIALS[one] for one in np.argsort(-by_material) if by_material[one] > 0),
        (float(own.min()), float(own.max())),
    )  # fmt: skip
