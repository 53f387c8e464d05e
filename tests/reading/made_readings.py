"""Readings made to isolate one rule: a real one, with its colours, sparkle or lots replaced."""

from dataclasses import replace
from functools import cache

import numpy as np

from planner.catalogue.palette import load
from planner.colour.names import family_index
from planner.data import demo
from planner.reading.drift import difference
from planner.reading.holding import Lots, Targets
from planner.reading.matter import QUICK
from planner.reading.question import Question, coating_called, colour_called
from planner.reading.read import read, seen
from planner.reading.sparkle import Flash
from planner.swatch.resolve import from_lab


@cache
def palette():
    return load(demo())


def asked(stone, coating, swatch, venue, *, cloth=None, **other):
    """Return a question about demo entries."""
    found, place = palette().stones[stone], palette().venues[venue]
    size = found.sizes[len(found.sizes) // 2]
    target = colour_called(swatch, palette())
    given = {"size": size, "distance": place.distance, "swatch": target} | other
    return Question(
        stone=found, cut=palette().cuts[found.cut], coating=coating_called(coating, palette()),
        cloth=colour_called(cloth or swatch, palette()), venue=place, **given,
    )  # fmt: skip


@cache
def told(stone, coating, swatch, venue, cloth=None):
    """Return a real reading, read once."""
    return read(asked(stone, coating, swatch, venue, cloth=cloth), QUICK)


def base():
    """Return a coated blue stone on blue cloth under one spot, a real reading."""
    return told("pulley-blue", "halyard-aurora", "leotard-blue", "followspot")


def sparkling(**shares):
    """Return a flash with these shares by luminance and by number: blue_green=(0.3, 0.2)."""
    named = {name.replace("_", " "): pair for name, pair in shares.items()}
    return Flash(
        {name: light for name, (light, _) in named.items()},
        {name: number for name, (_, number) in named.items()},
        0.01,
        6.0,
    )


def made(*, glow, swatch, cloth=None, spread=0.3, flash=None, doubt=0.0, merge_m=0.0, of=None, **asks):
    """Return a reading with these CIELAB colours, `glow` being all that is seen of the stone, as
    of blue on blue where nothing else is said.

    `spread` is the standard deviation of lots in each of L*, a*, b*; `doubt` the swatch's uncertainty.
    """
    start = base() if of is None else of
    glow, swatch = np.array(glow, float), np.array(swatch, float)
    cloth = swatch if cloth is None else np.array(cloth, float)
    # A spectrum that is measured: no other lamp then adds to the doubt.
    known = replace(from_lab(swatch), uncertainty=doubt, recovered=False)
    question = replace(start.question, **({"swatch": known} | asks))
    lots = glow + np.random.default_rng(5).normal(0.0, spread, (500, 3))
    return replace(
        start, question=question, seen=seen(glow), seen_stone=seen(glow), nearer=seen(glow),
        seen_field=seen(glow),
        glow=seen(glow),
        swatch=seen(swatch), cloth=seen(cloth),
        drift=difference(swatch, glow), lab_lots=lots,
        flash=flash, field=replace(start.field, merge_m=merge_m),
        lots=Lots(lots, swatch, Targets(swatch, family_index(swatch)), question.tolerance),
    )  # fmt: skip
