"""What the material buys: one pairing read in acrylic, glass and lead crystal, beside its price.

In one and the same cut the planner finds that material changes little on a foiled stone: the mirror behind
it returns most light whatever the glass. What sets cheap stones apart is their cut, with fewer and wavier
facets. So a material can be read in the question's cut, or in the one that the palette's stones of it have.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import log2

import numpy as np

from planner.catalogue.cut import Cut
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Material
from planner.colour.cielab import lab_to_xyz
from planner.colour.difference import delta_e
from planner.order.landed import Priced, Rates, landed
from planner.order.offer import Offer
from planner.reading.matter import QUICK, Grade
from planner.reading.question import Question
from planner.reading.read import Reading, read

MATERIALS: tuple[Material, ...] = ("acrylic", "glass", "lead crystal")
"""What is compared, the last with itself."""

ENOUGH_STOPS = 0.5
"""Loss of light in flashes that is still enough: half a stop, about what one sees only side by side (our
choice)."""

ENOUGH_EACH = 1.0
"""Loss of brightness of the single flash that is still enough: one stop (our choice)."""

ENOUGH_APART = 4.0
"""CIEDE2000 between the glows that is still enough: what is hardly seen from a stage's distance (our
choice)."""


@dataclass(frozen=True, eq=False)
class Worth:
    """One material."""

    material: Material

    reading: Reading
    """The pairing with its stone made of that material: same foil, body colour and film."""

    apart: float
    """CIEDE2000 of its glow from that in lead crystal."""

    flashes: float | None
    """Flashes a stone shows, as a share of those in lead crystal; None where nothing flashes."""

    flash_stops: float | None
    """Light sent in flashes against lead crystal, all of them together, stops; negative is less."""

    each_stops: float | None
    """How bright one flash is against one of lead crystal's, stops: wavy facets make many dim ones."""

    cheapest: Priced | None
    """Cheapest offer of this pairing and size that claims the material."""

    @property
    def enough(self) -> bool:
        """Whether one would hardly tell it from lead crystal where it is seen."""
        if self.apart > ENOUGH_APART or self.flash_stops is None or self.each_stops is None:
            return self.apart <= ENOUGH_APART
        return self.flash_stops >= -ENOUGH_STOPS and self.each_stops >= -ENOUGH_EACH


def usual_cuts(palette: Palette) -> dict[Material, Cut]:
    """Return the cut that most of a palette's foiled, not opaque stones of each material have."""
    seen: dict[Material, Counter[str]] = {}
    for stone in palette.stones.values():
        if stone.foil != "none" and not stone.opaque:
            seen.setdefault(stone.material, Counter())[stone.cut] += 1
    return {material: palette.cuts[count.most_common(1)[0][0]] for material, count in seen.items()}


def worth(
    question: Question,
    offers: Iterable[Offer] = (),
    rates: Rates | None = None,
    cuts: Mapping[Material, Cut] | None = None,
    grade: Grade = QUICK,
) -> tuple[Worth, ...]:
    """Return what each of `MATERIALS` makes of a pairing in the question's venue and distance.

    Parameters
    ----------
    question
        The pairing, whatever its stone is made of.
    offers, rates
        Where the cheapest offer of each material is looked for; those without a rate are passed over.
    cuts
        Cut of each material, as `usual_cuts` has them; the question's own where not given.
    grade
        How finely light is followed.

    """
    given = cuts or {}
    readings = {one: read(_made_of(question, one, given.get(one, question.cut)), grade) for one in MATERIALS}
    crystal = readings[MATERIALS[-1]]
    priced = [] if rates is None else _priced(question, offers, rates)
    return tuple(
        _worth(material, reading, crystal, [one for one in priced if one.offer.material == material])
        for material, reading in readings.items()
    )


def _worth(material: Material, reading: Reading, crystal: Reading, priced: list[Priced]) -> Worth:
    mine, theirs = reading.flash, crystal.flash
    flashes = each = None
    if mine is not None and theirs is not None:
        flashes = mine.per_stone / theirs.per_stone
        each = mine.stops - theirs.stops + log2(_luminance(reading) / _luminance(crystal))
    apart = float(delta_e(np.array(reading.seen.lab), np.array(crystal.seen.lab)))
    cheapest = min(priced, key=lambda one: one.cost.per_stone, default=None)
    together = None if flashes is None or each is None else each + log2(flashes)
    return Worth(material, reading, apart, flashes, together, each, cheapest)


def _luminance(reading: Reading) -> float:
    """Return the glow's luminance on a scale that both readings share, above 0."""
    return max(float(lab_to_xyz(np.array(reading.glow.lab))[1]), 1e-9)


def _made_of(question: Question, material: Material, cut: Cut) -> Question:
    stone = question.stone
    if (stone.material, stone.cut) == (material, cut.id):
        return question
    # The id tells it from the palette's stone wherever readings are remembered.
    made = {"material": material, "cut": cut.id, "id": f"{stone.id}-in-{material.replace(' ', '-')}"}
    return replace(question, stone=stone.model_copy(update=made), cut=cut)


def _priced(question: Question, offers: Iterable[Offer], rates: Rates) -> list[Priced]:
    coating = question.coating.id if question.coating else "none"
    wanted = question.stone.id, coating, question.size
    known = {rates.currency, *rates.of}
    return [
        Priced(one, landed(one, rates)) for one in offers if one.pairing == wanted and one.currency in known
    ]


def verdict(found: Iterable[Worth]) -> str:
    """Return in a sentence which material is enough, where one is."""
    found = tuple(found)
    enough = [one for one in found if one.enough]
    first = enough[0]
    if all(one.flash_stops is None for one in found):
        lead = "No small lamp lights this venue, so there is no sparkle to pay for"
        return f"{lead}; {first.material} is enough."
    if first.material == found[-1].material:
        best = max(found[:-1], key=lambda one: one.flash_stops if one.flash_stops is not None else -99.0)
        only = f"{best.material} has only {percent_of(best)} of its sparkle"
        return f"Here lead crystal is worth it: {only}."
    return (
        f"Here {first.material} is enough: it has {percent_of(first)} of the sparkle of lead crystal, in "
        "much the same colour."
    )


def percent_of(one: Worth) -> str:
    """Return the light in flashes as a share of lead crystal's."""
    return "none" if one.flash_stops is None else f"{100 * 2.0**one.flash_stops:.0f} %"
