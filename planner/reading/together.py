"""Colours of many stones under many films at once, at a ranking's accuracy; kept between runs.

They depend on glass, films, bodies, light, cloth and viewer, and not on what they are compared with: another
wish, tolerance or swatch on the same cloth finds them there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np

from planner.catalogue.coating import Coating
from planner.colour.ordered import distinct
from planner.optics.arrays import Floats
from planner.optics.store import is_kept, kept
from planner.reading.eye import medians_by_lean
from planner.reading.known import ROOM, circumstances, of_films
from planner.reading.look import glow_and_ground
from planner.reading.matter import Gem, lay_angle, stacked_factors
from planner.reading.scene import Scene
from planner.reading.states import States
from planner.reading.viewer import Viewer

Films: TypeAlias = Sequence[tuple[Coating | None, States]]

ColoursAsked: TypeAlias = tuple[Gem, Films, Floats, Floats, Scene, Floats, Viewer]
"""What `colours` is given."""


@dataclass(frozen=True, eq=False)
class Colours:
    """What S stones look like in the T states of all films, one film after another."""

    nodes: Floats
    """(T, 3, S, 3) seen XYZ in cd/m², at a low, nominal and high concentration."""
    widely: Floats
    """(3, F, S, 3) seen XYZ under F films of the nominal thickness by how widely stones lean, see
    `planner.reading.lots.leaning`."""


def colours(
    glass: Gem, films: Films, bodies: Floats, millimetres: Floats,
    place: Scene, cloth: Floats, viewer: Viewer,
) -> Colours:  # fmt: skip
    """Return what stones look like under films, from an earlier run if it is there.

    Parameters
    ----------
    glass
        Glass and cut of all of them.
    films
        Coatings that lay alike (`lay_angle`), and their states.
    bodies, millimetres
        (3, S, 81) absorption per mm at a low, the nominal and a high concentration, and (S,) diameters.
    place, cloth, viewer
        Light, (81,) reflectance of the cloth, and who looks from where.

    """
    asked = (glass, films, bodies, millimetres, place, cloth, viewer)
    return kept(Colours, _key(*asked), lambda: _worked_out(*asked), ROOM)


def are_kept(*asked: *ColoursAsked) -> bool:
    """Say whether an earlier run left what `colours` is asked for."""
    return is_kept(Colours, _key(*asked), ROOM)


def _key(
    glass: Gem, films: Films, bodies: Floats, millimetres: Floats, place: Scene, cloth: Floats, viewer: Viewer
) -> object:
    known = circumstances(glass, bodies, millimetres, place, cloth, viewer)
    return lay_angle(films[0][0]), known, of_films(*(film for _, film in films))


def _worked_out(
    glass: Gem, films: Films, bodies: Floats, millimetres: Floats,
    place: Scene, cloth: Floats, viewer: Viewer,
) -> Colours:  # fmt: skip
    """Return `colours` anew.

    What flashes add to the ground, and what concentration does, is worked out at the nominal thickness.
    Elsewhere the first is taken to change as the glow does that small lamps give, the second not at all.
    """
    factors, angle = stacked_factors(glass, films), lay_angle(films[0][0])
    low, body, high = bodies
    starts = np.cumsum([0, *(film.count for _, film in films)])
    nominals = starts[:-1] + [film.middle.start + len(film.scale) // 2 for _, film in films]
    own = factors[:, nominals]

    def lit(of: Floats, body: Floats) -> tuple[Floats, Floats]:
        return glow_and_ground(glass, angle, of, body, millimetres, place, cloth)

    glow, ground = lit(factors, body)
    added, wide = np.empty_like(ground[nominals]), np.empty((3, len(films), len(millimetres), 3))
    for size in distinct(millimetres):
        some, of = np.flatnonzero(millimetres == size), viewer.judged(float(size))
        base = ground[nominals][:, some]
        each = medians_by_lean(glass, angle, own, body[some], float(size), place, cloth, viewer, base, of)
        added[:, some] = each[1] - base
        wide[:, :, some] = each
    others = [lit(own, one) for one in (low, high)]
    nodes = []
    for at, (start, end) in enumerate(pairwise(starts)):
        soft, usual = ground[nominals[at]], glow[nominals[at]] - ground[nominals[at]]
        by_state = _ratio(glow[start:end] - ground[start:end], usual)
        three = [
            np.maximum(
                ground[start:end] * _ratio(their_soft, soft)
                + added[at] * by_state * _ratio(their_glow - their_soft, usual),
                0.0,
            )
            for their_glow, their_soft in (
                (others[0][0][at], others[0][1][at]),
                (glow[nominals[at]], soft),
                (others[1][0][at], others[1][1][at]),
            )
        ]
        nodes.append(np.stack(three, axis=1))
    return Colours(np.concatenate(nodes).astype(np.float32), wide.astype(np.float32))


def _ratio(part: Floats, whole: Floats) -> Floats:
    whole = np.broadcast_to(whole, part.shape)
    # Under a deep red lamp no blue comes back at all (Z = 0), at any concentration.
    return np.divide(part, whole, out=np.ones_like(whole), where=whole > 0)
