"""How many stones fit on a surface: what geometry allows, and what hands reach.

Discs of one size cover at most π/√12 of a plane (A. Thue 1910; L. Fejes Tóth, Math. Z. 46, 1940). Discs
between two sizes cover at most what `florian` returns.
"""

import math
from collections.abc import Sequence

from planner.refusal import InvalidValue

HEXAGONAL = math.pi / math.sqrt(12.0)
"""Largest share of a plane that discs of one size can cover: 0.9069."""

HAND_SET = 0.85
"""Share of the cloth that stones set close by hand take up, each with its `GAP_MM` round it. Between discs
poured at random (0.82 ± 0.02: J. G. Berryman, "Random close packing of hard spheres and disks", Phys. Rev.
A 27, 1053, 1983) and `HEXAGONAL`: rows set by hand wander. Our choice."""

GAP_MM = 0.3
"""From stone to stone where they stand close, mm: glue has a place, the cloth can bend, and girdles do not
chip one another (our choice; with it SS20 stands at five to the inch: common practice, no source)."""


def florian(ratio: float) -> float:
    """Return an upper bound of the share of a plane that discs of several sizes can cover.

    Parameters
    ----------
    ratio
        Smallest over largest diameter, above 0 and at most 1.

    Notes
    -----
    A. Florian, "Ausfüllung der Ebene durch Kreise", Rend. Circ. Mat. Palermo 9, 300–312 (1960): no packing
    is denser than the triangle between one largest and two smallest discs that touch one another.

    """
    if not 0.0 < ratio <= 1.0:
        raise InvalidValue(f"found a ratio of diameters of {ratio:g}; it must be above 0 and at most 1")
    angle = math.asin(ratio / (1.0 + ratio))
    covered = math.pi * ratio**2 + 2.0 * (1.0 - ratio**2) * angle
    return covered / (2.0 * ratio * math.sqrt(1.0 + 2.0 * ratio))


def ceiling(diameters: Sequence[float]) -> float:
    """Return the published upper bound for a mix of these diameters; `HEXAGONAL` for one size alone."""
    return florian(min(diameters) / max(diameters))


def at_spacing(spacing: float) -> float:
    """Return stones per mm² where every stone has six neighbours `spacing` mm away (a triangular lattice).

    That is 15 % more than rows and columns at the same spacing would hold.
    """
    return 2.0 / (math.sqrt(3.0) * spacing**2)


def close_set(diameters: Sequence[float], shares: Sequence[float]) -> float:
    """Return stones per mm² of a full cover by hand.

    Parameters
    ----------
    diameters
        Of each kind of stone, mm.
    shares
        Of each kind by number; they add up to 1.

    """
    taken = sum(
        share * 0.25 * math.pi * (one + GAP_MM) ** 2 for one, share in zip(diameters, shares, strict=True)
    )
    return HAND_SET / taken


def gradient_mean(dense: float, sparse: float, outline: tuple[float, float] | None) -> float:
    """Return the mean of 1/spacing² over an area on which the spacing widens evenly from end to end.

    Parameters
    ----------
    dense, sparse
        Spacing at the two ends, mm, `dense` at most `sparse`.
    outline
        Widths of the area at its dense and its sparse end (in any unit), straight between them; None for
        an ellipse.

    Notes
    -----
    With s(t) = dense + (sparse − dense) t and width w(t), the mean is ∫w/s² dt / ∫w dt. An even width gives
    1/(dense · sparse). For the ellipse, w = √(1 − u²) with u = 2t − 1, ∫√(1−u²)/(p+qu)² du =
    π/(r(p+r)) with r = √(p²−q²), the derivative by p of the usual table integral.

    """
    if outline is None:
        root = math.sqrt(dense * sparse)
        return 2.0 / (root * (0.5 * (dense + sparse) + root))
    first, last = outline
    even = 1.0 / (dense * sparse)
    # ∫ t/s² dt = (ln x + 1/x − 1) / (dense (x − 1))², x = sparse/dense; its series where x is near 1.
    over = sparse / dense - 1.0
    if over < 1e-3:
        rising = 0.5 - 2.0 * over / 3.0 + 0.75 * over**2
    else:
        rising = (math.log1p(over) - over / (1.0 + over)) / over**2
    rising /= dense**2
    return (first * even + (last - first) * rising) / (0.5 * (first + last))
