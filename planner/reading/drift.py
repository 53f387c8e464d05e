"""How far a reading is from its swatch, and how far it may be."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from planner.colour.difference import delta_components, delta_e
from planner.colour.everyday import ENOUGH, overlap
from planner.colour.words import shift_words
from planner.optics.arrays import Floats

TOLERANCES: dict[str, float | None] = {"arm": 2.0, "seats": 10.0, "family": None}
"""Largest CIEDE2000 for each purpose (common practice, no source).

arm: not to be told from the cloth at arm's length; dyers accept 1 to 2. seats: the same colour from
the seats; side by side in the hand 10 is plainly another shade, but it is what light and dark, folds
and distance do to one cloth anyhow. family: any depth that is called by the same everyday word, so no
figure.
"""

SEATS_KL = 2.0
"""How much further lightness may differ from the seats than hue and chroma, as for textiles: CMC(2:1), ISO
105-J03; CIEDE2000 with kL = 2. At arm's length, and where a figure is given, it is 1."""

NEARLY = 0.85
"""Misfit up to which a match is plain. From there to `JUST` it just about passes: nobody knows a limit to
a seventh of itself (our choice)."""

JUST = 1.15
"""Misfit beyond which a match fails."""


@dataclass(frozen=True)
class Difference:
    """One colour against another: CIEDE2000 and its parts in CIELAB."""

    dE00: float  # noqa: N815 - the name the standard gives it
    dL: float  # noqa: N815
    dC: float  # noqa: N815
    dh: float | None
    """Degrees, -180 to 180; None where one of the two is nearly neutral."""
    words: str


def difference(lab_from: Floats, lab_to: Floats) -> Difference:
    """Return how the second colour differs from the first, both CIELAB (3,)."""
    dL, dC, dh = (float(part) for part in delta_components(lab_from, lab_to))
    total = float(delta_e(lab_from, lab_to))
    return Difference(total, dL, dC, None if np.isnan(dh) else dh, shift_words(lab_from, lab_to))


def limit(tolerance: str | float) -> float | None:
    """Return the largest CIEDE2000 of a tolerance; None for "family"."""
    return TOLERANCES[tolerance] if isinstance(tolerance, str) else tolerance


def apart(lab: Floats, swatch: Floats, tolerance: str | float) -> Floats:
    """Return (...) the CIEDE2000 that counts between colours (..., 3): lightness half from the seats."""
    return delta_e(swatch, lab, lightness_weight(tolerance))


def lightness_weight(tolerance: str | float) -> float:
    """Return how much further lightness may differ than hue and chroma: kL of CIEDE2000."""
    return SEATS_KL if tolerance in ("seats", "family") else 1.0


def misfit(lab: Floats, swatch: Floats, tolerance: str | float) -> Floats:
    """Return (...) how ill colours (..., 3) match a swatch's (..., 3): 0 is the same, 1 the limit."""
    return worse(*matched(lab, swatch, tolerance))


NAMED_APART = 0.6
"""Part of the distance allowed from which another word counts in full (our choice): what can hardly be told
apart has one name in an audience, even where the border between two words runs through it."""


def worse(far: Floats, word: Floats) -> Floats:
    """Return (...) the misfit of distances and words that are as ill as that, see `matched`."""
    return np.maximum(far, word * np.minimum(far / NAMED_APART, 1.0))


def matched(lab: Floats, swatch: Floats, tolerance: str | float) -> tuple[Floats, Floats]:
    """Return (...) twice how ill colours (..., 3) match a swatch's (..., 3): by distance and by word.

    CIEDE2000 as a part of what is allowed; and how far the overlap of everyday words falls short,
    `planner.colour.everyday.ENOUGH` being the limit. For a hue family the word is the distance too; at arm's
    length no word counts, since a colour within the limit is called the same anyhow.
    """
    largest = limit(tolerance)
    if largest is None:
        word = word_misfit(lab, swatch)
        return word, word
    far = apart(lab, swatch, tolerance) / largest
    return far, np.zeros_like(far) if tolerance == "arm" else where_it_may_count(
        far, lab, swatch, word_misfit
    )


def where_it_may_count(
    far: Floats, lab: Floats, swatch: Floats, word: Callable[[Floats, Floats], Floats]
) -> Floats:
    """Return (...) misfits of words, looked up only where the distance leaves something to decide."""
    found = np.full(np.shape(far), WORD_LIMIT)
    asked = far < WORD_LIMIT
    if asked.any():
        one, two = np.broadcast_arrays(lab, swatch)
        colours = lab if np.ndim(lab) == 1 else one[asked]
        found[asked] = word(colours, swatch if np.ndim(swatch) == 1 else two[asked])
    return found


WORD_LIMIT = 1.0 / (1.0 - ENOUGH)
"""Misfit of two colours that nobody calls by one word."""


def word_misfit(lab: Floats, swatch: Floats) -> Floats:
    """Return (...) how far the everyday words of two colours differ: 0 is alike, 1 the limit."""
    return np.asarray((1.0 - overlap(lab, swatch)) * WORD_LIMIT)


def within(lab: Floats, swatch: Floats, tolerance: str | float) -> Floats:
    """Return (...) whether colours (..., 3) hold the swatch's (..., 3), if only just."""
    return np.asarray(misfit(lab, swatch, tolerance) <= JUST)
