"""Strips of colour below the patches: how far one could go from the swatch, and how batches differ."""

from itertools import groupby
from typing import Any

import numpy as np

from planner.brief.wording import Wording
from planner.colour.screen import ink_on, lab_to_srgb, to_hex
from planner.optics.arrays import Floats
from planner.reading.fit import holds
from planner.reading.leeway import Leeway, leeway
from planner.reading.read import Reading

STRIP = 21
"""Colours in the strip of lots."""

OUTER = 0.05
"""Share of lots left out at either end of the strip."""

WAY = 42
"""Colours on the way from the swatch through what is seen."""


def way(reading: Reading, words: Wording) -> dict[str, Any] | None:
    """Return the way from the swatch through what is seen, None where nothing is told.

    Places are from 0 to 1; "hex" is what the pointer is drawn in.
    """
    found, say = leeway(reading), words.say.say
    if found is None:
        return None
    return {
        "colours": [to_hex(one) for one in lab_to_srgb(found.colours(WAY))[0]],
        "seen": found.seen,
        "low": found.low,
        "high": found.high,
        "hex": ink_on(reading.seen.hex),
        "brackets": _brackets(found),
        "told": say("way", "told"),
        "alt": say("way", "alt"),
    }


def _brackets(found: Leeway) -> list[dict[str, Any]]:
    """Return what would do: where it begins and ends, and its parts, plain or only just."""
    runs = [list(run) for does, run in groupby(found.stretches, key=lambda one: holds(one.outcome)) if does]
    return [
        {
            "start": run[0].start,
            "end": run[-1].end,
            "parts": [{"start": one.start, "end": one.end, "plain": one.outcome == "passes"} for one in run],
        }
        for run in runs
    ]


def strip(reading: Reading, words: Wording) -> dict[str, Any]:
    """Return how batches differ: the colours from one end to the other."""
    say = words.say.say
    labs = range_of(reading.lab_lots)
    left, right = words.ends(labs)
    return {
        "title": say("strip", "title"),
        "colours": [to_hex(one) for one in lab_to_srgb(labs)[0]],
        "swatch": reading.swatch.hex,
        "left": left,
        "right": right,
        "same": "" if left or right else say("strip", "same"),
        "alt": say("strip", "alt", count=words.figures.number(len(labs))),
    }


def range_of(labs: Floats) -> Floats:
    """Return (`STRIP`, 3) colours from one end of the (N, 3) lots to the other.

    Lots are put in order along the direction in which they differ most; each colour is the mean of its
    share of them, the outermost being left out.
    """
    middle = labs.mean(axis=0)
    axis = np.linalg.svd(labs - middle, full_matrices=False)[2][0]
    # The same way round on every machine: lighter to the right.
    axis = axis if axis[0] >= 0 else -axis
    order = np.argsort((labs - middle) @ axis, kind="stable")
    cut = round(OUTER * len(labs))
    return np.stack(
        [labs[part].mean(axis=0) for part in np.array_split(order[cut : len(order) - cut], STRIP)]
    )
