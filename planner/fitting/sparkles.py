"""How likely it is to call a film's flash by the hue family that a person gave it."""

from dataclasses import dataclass

import numpy as np

from planner.catalogue.venue import Venue
from planner.colour.grid import WAVELENGTHS
from planner.colour.names import FLASH_FAMILIES, flash_family
from planner.fitting.films import GRADE, MATERIALS, PAPER, Films, film_of
from planner.fitting.sight import Placed
from planner.optics.arrays import Floats, Ints
from planner.reading.look import Flashes, flash_xyz, glow_xyz
from planner.reading.matter import gem
from planner.reading.read import bodies
from planner.reading.scene import scene
from planner.reading.sparkle import CONTRAST, OUTSHONE
from planner.reading.states import States

MISTAKEN = 0.05
"""How often a family is named that has nothing to do with the flash (our choice)."""

NEIGHBOUR = 0.15
"""How often the family on either side is named instead: green for blue green (our choice)."""

_MOST = 200
"""Films whose flashes are computed; those between take the nearest one's."""

_WIDTHS = (5.0, 10.0, 20.0, 40.0, 80.0)
"""Steps of optical thickness, nm, within which films share their flashes."""


@dataclass(frozen=True, eq=False)
class FlashSeen:
    """The main hue of a stone's flash in a venue with small lamps."""

    placed: Placed
    venue: Venue
    family: str
    """One of `planner.colour.names.FLASH_FAMILIES`."""


def flash_misfit(seen: FlashSeen, films: Films, kept: Ints, misfit: Floats) -> Floats:
    """Return (K,) twice the negative log-likelihood of a flash under the films numbered `kept`.

    `misfit` (K,) is theirs so far: films that share their flashes take those of the best of them.
    """
    group = _groups(films, kept)
    order = np.lexsort((misfit, group))
    first = order[np.flatnonzero(np.diff(group[order], prepend=-1))]
    likely = np.empty(len(first))
    for number in range(len(MATERIALS)):
        mine = np.flatnonzero(films.material[kept[first]] == number)
        if len(mine):
            at = kept[first[mine]]
            film = film_of(MATERIALS[number], films.nm[at], films.evenness[at])
            likely[mine] = _named_so(seen, film)
    return -2.0 * np.log(likely)[group]


def _groups(films: Films, kept: Ints) -> Ints:
    """Return (K,) numbers from 0: which films are near enough in all to share their flashes."""
    for width in _WIDTHS:
        place = np.floor(films.optical[kept] / width).astype(int)
        even = np.round(films.evenness[kept] * 4 * _WIDTHS[0] / width).astype(int)
        key = (films.material[kept] * 1000 + place) * 10 + even
        group = np.unique(key, return_inverse=True)[1]
        if group.max() < _MOST:
            break
    return group


def _named_so(seen: FlashSeen, film: States) -> Floats:
    """Return (T,) the probability that the flash of each film is given that family's name."""
    share = _shares(seen, film)
    # The largest share takes the name, two of about equal size by turns.
    main = share**2 / np.maximum((share**2).sum(axis=1, keepdims=True), 1e-12)
    called = _called()[:, FLASH_FAMILIES.index(seen.family)]
    return (1.0 - MISTAKEN) * main @ called + MISTAKEN / len(FLASH_FAMILIES)


def _called() -> Floats:
    """Return (F, F) how often a family (row) is called by a name (column)."""
    hues = len(FLASH_FAMILIES) - 1
    table = np.eye(len(FLASH_FAMILIES))
    for hue in range(hues):
        row = hue + 1
        table[row, row] = 1.0 - 2.0 * NEIGHBOUR
        for side in (-1, 1):
            table[row, (hue + side) % hues + 1] += NEIGHBOUR
    return table


def _shares(seen: FlashSeen, film: States) -> Floats:
    """Return (T, F) share of each family in the flash of each film, by luminance."""
    place, one = scene(seen.venue), seen.placed
    glass, body = gem(one.stone, one.cut, GRADE), bodies(one.stone, one.cut)
    body, size = body[len(body) // 2][None], np.array([one.millimetres])
    cloth = np.full(len(WAVELENGTHS), PAPER)
    found = flash_xyz(glass, None, film, body, size, place, by_facet=False)
    glow = glow_xyz(glass, None, film, body, size, (place,), cloth)[:, 0, 0, 1]
    return _counted(found, glow, place.white_xyz)


def _counted(found: Flashes, glow: Floats, white: Floats) -> Floats:
    """Return (T, F) shares of the flashes that count, as `planner.reading.sparkle` counts them."""
    xyz = found.xyz[:, :, 0]
    bright = xyz[..., 1] * found.measure[:, None]
    usual = (bright * xyz[..., 1]).sum(axis=0) / np.maximum(bright.sum(axis=0), 1e-30)
    counts = bright * (xyz[..., 1] > np.maximum(CONTRAST * glow, OUTSHONE * usual))
    family = flash_family(xyz, white)
    share = np.stack([(counts * (family == one)).sum(axis=0) for one in range(len(FLASH_FAMILIES))], axis=1)
    return share / np.maximum(share.sum(axis=1, keepdims=True), 1e-30)
