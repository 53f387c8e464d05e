"""What came of an order: predicted beside seen, and the lot in hand as an entry of its own."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.fields import Basis
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Venue
from planner.colour.difference import delta_e
from planner.colour.everyday import ENOUGH, overlap
from planner.fitting.body import colour_seen
from planner.fitting.card import MODEL, metric
from planner.fitting.foresee import INTERVAL
from planner.fitting.sight import Placed, Sample, Sight, even_daylight
from planner.optics.arrays import Floats
from planner.reading.drift import Difference, difference
from planner.reading.lots import Draws, draw
from planner.reading.matter import QUICK, Grade
from planner.reading.question import Question, typed_colour
from planner.reading.read import Reading, read
from planner.refusal import InvalidValue

FAR = 14.2
"""Chi-squared for 3 beyond which no lot is believed to look so: 997 of 1000 errors stay below."""

_LEAST_SPREAD = 0.005
"""Relative spread of thickness that a lot in hand keeps at the least (our choice)."""


_ALIKE = 5.0
"""CIEDE2000 within which two looks are the same lot's, whatever they are called (our choice)."""


@dataclass(frozen=True, eq=False)
class Arrived:
    """A prediction, and what came."""

    reading: Reading
    """The prediction, where it was seen."""
    seen: Sight
    lab: Floats
    """(3,) CIELAB of what was seen."""
    apart: Difference
    """From predicted to seen."""
    within: float
    """CIEDE2000 from the prediction within which 90 lots of 100 were expected, the error of what was seen
    included."""

    @property
    def expected(self) -> bool:
        """Whether what came lies within that."""
        return self.apart.dE00 <= self.within

    @property
    def another(self) -> bool:
        """Whether it is another colour than any lot of what was ordered is believed to have."""
        return bool(_off(self).min() > FAR)

    @property
    def remark(self) -> str:
        """One sentence where it is."""
        if not self.another:
            return ""
        question = self.reading.question
        nearest = float(delta_e(self.reading.lab_lots, self.lab).min())
        called = (question.coating or question.stone).name
        return (
            f"No batch of {called} should look like that: the nearest is off by ΔE00 {nearest:.0f}. "
            "Check that it is what you ordered; kept as a lot of its own, it reads as you saw it."
        )


def compare(
    stone: Stone, cut: Cut, coating: Coating | None, size: str, seen: Sight, venue: Venue | None = None,
    grade: Grade = QUICK,
) -> Arrived:  # fmt: skip
    """Return a prediction beside what came.

    `venue` is where it was seen, with colours as the eye has them there; even daylight if None.

    Raises
    ------
    ValueError
        If only a hue family was seen, or the coating cannot lie on the stone.

    """
    if seen.lab is None:
        raise InvalidValue(
            f'a hue family alone ("{seen.family}") is too little to hold against a prediction; give six '
            "hexadecimal digits or a whole name such as vivid purplish blue"
        )
    place = venue or even_daylight()
    paper = typed_colour("#eeeeee")
    # One stone by itself, whatever its place's distance: nothing of the paper mixes in.
    question = Question(stone, cut, coating, size, paper, paper, place, place.distance, cover=0.0)
    reading = read(question, grade)
    predicted = np.array(reading.seen.lab)
    reach = float(np.quantile(delta_e(reading.lab_lots, predicted), INTERVAL))
    error = 2.5 / 3.0**0.5 * float(np.hypot(seen.error, MODEL))
    return Arrived(reading, seen, seen.lab, difference(predicted, seen.lab), float(np.hypot(reach, error)))


def lot_in_hand(arrived: Arrived, entry_id: str, name: str, basis: Basis) -> Coating | Stone:
    """Return the lot that came as an entry: the coating as it lies, or the uncoated stone as it is.

    Every lot that the reading drew is weighed by how well it agrees with what was seen; the entry has
    their mean, and their spread as what is still unknown. Where no lot of it is believed to look so, the
    coating is found anew from what was seen; and where no film gives that either, or there is none, the lot
    is a stone of the colour that was seen.

    Raises
    ------
    ValueError
        If it has to be found anew and was not seen in even daylight.

    """
    question, head = arrived.reading.question, {"id": entry_id, "name": name, "basis": basis}
    if arrived.another:
        return _anew(arrived, head)
    lots, weight = draw(question.coating), _weights(arrived)
    if question.coating is None:
        return _stone(arrived, lots, weight, head)
    coating = question.coating
    shared, own = weight @ lots.scale, weight @ lots.layers
    layers = tuple(
        layer.model_copy(update={"nm": round(layer.nm * float(shared * (1.0 + own[place])), 1)})
        for place, layer in enumerate(coating.layers)
    )
    # The spread that layers share is all of it for a single one, half the variance for several.
    parts = 1.0 if len(layers) == 1 else 2.0**0.5
    evenness = coating.lay.evenness + float(weight @ lots.evenness)
    changed = {
        **head, "layers": layers, "index_spread": 0.0,
        "lot_spread": round(min(0.5, max(_LEAST_SPREAD, parts * _sd(weight, lots.scale))), 4),
        "lay": coating.lay.model_copy(update={"evenness": round(min(1.0, max(0.0, evenness)), 3)}),
        "evenness_spread": round(min(0.5, _sd(weight, lots.evenness)), 3),
    }  # fmt: skip
    entry = Coating.model_validate({**_given(coating), **{key: _plain(one) for key, one in changed.items()}})
    # The mean of a wide range of lots may look like none of them.
    if question.venue == even_daylight() and not _called_so(arrived, entry):
        return _anew(arrived, head)
    return entry


def _called_so(arrived: Arrived, coating: Coating) -> bool:
    """Say whether people call a coating as they call what was seen, on the same stone in the same place."""
    look = np.array(read(replace(arrived.reading.question, coating=coating), QUICK).seen.lab)
    return bool(overlap(look, arrived.lab) >= ENOUGH) or bool(delta_e(look, arrived.lab) <= _ALIKE)


def _weights(arrived: Arrived) -> Floats:
    """Return (N,) how likely each lot of the reading is to be the one that came."""
    off = _off(arrived)
    weight = np.exp(-0.5 * (off - off.min()))
    return weight / weight.sum()


def _off(arrived: Arrived) -> Floats:
    """Return (N,) chi-squared of each lot of the reading against what was seen."""
    turned = (arrived.reading.lab_lots - arrived.lab) @ metric(arrived.lab).T
    error = (arrived.seen.error**2 + MODEL**2) / 3.0
    return np.asarray((turned**2).sum(axis=1) / error)


def _anew(arrived: Arrived, head: dict[str, Any]) -> Coating | Stone:
    """Return an entry that looks as what was seen, whatever was ordered."""
    from planner.fitting.coating import coatings, fit_coating

    question = arrived.reading.question
    if question.venue != even_daylight():
        raise InvalidValue(
            "that is another colour than any lot of it has; look at it in daylight, on white, and it can be "
            "found anew from what is seen there (leave --venue out)"
        )
    if question.coating is not None:
        at = Placed(question.stone, question.cut, question.size)
        fitted = fit_coating((Sample(at, arrived.seen),))
        if fitted.fits:
            found = coatings(fitted, head["id"], head["name"])[0]
            entry = Coating.model_validate({**_given(found), **head})
            if _called_so(arrived, entry):
                return entry
    seen = colour_seen(arrived.lab, Placed(question.stone, question.cut, question.size))
    body = {"opaque", "colourants", "spectrum", "file", "depth_mm"}
    kept = {key: one for key, one in _given(question.stone).items() if key not in body}
    return Stone.model_validate({**kept, **seen, **head})


def _sd(weight: Floats, values: Floats) -> float:
    return float(np.sqrt(weight @ (values - weight @ values) ** 2))


def _stone(arrived: Arrived, lots: Draws, weight: Floats, head: dict[str, Any]) -> Stone:
    """Return the uncoated stone with the concentration that came."""
    question = arrived.reading.question
    stone = question.stone
    body = 1.0 + stone.body_spread * float(weight @ lots.body)
    changed = {**head, "body_spread": round(max(0.01, stone.body_spread * _sd(weight, lots.body)), 3)}
    if stone.colourants is not None:
        changed["colourants"] = {key: float(f"{one * body:.4g}") for key, one in stone.colourants.items()}
    elif stone.depth_mm is not None:
        changed["depth_mm"] = round(stone.depth_mm / body, 4)
    elif stone.colour is not None and question.venue == even_daylight():
        changed |= colour_seen(arrived.lab, Placed(stone, question.cut, question.size))
    elif stone.colour is not None:
        raise InvalidValue(f"{stone.name} is known by its colour in daylight: look at it there")
    else:
        raise InvalidValue(f"{stone.name} has no body colour that could differ, so there is no batch to keep")
    return Stone.model_validate({**_given(stone), **changed})


def _given(entry: Coating | Stone) -> dict[str, Any]:
    return entry.model_dump(exclude_unset=True, exclude_none=True)


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return value.model_dump() if hasattr(value, "model_dump") else value
