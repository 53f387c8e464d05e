"""A field of stones drawn by brute force, to hold seen colour against.

Nothing is shared with `planner.optics.moments` or with the sampling of flashes but the traced beams: every
stone is given a direction of view, every lamp of the venue a place of its own, and each beam whose disc of
sky holds a lamp, band by band and step by step while the lamps sweep past, lights its stone. The field is
then blurred pixel by pixel, and the median of all pixels taken.
"""

import numpy as np

from planner.optics.discs import BANDS
from planner.optics.flash import WINDOW, carried, faces, spectral_bands
from planner.reading.eye import INTEGRATION, MIRRORED, MOVEMENTS
from planner.reading.look import ground_by_view
from planner.reading.matter import absorption, beams_of, body_factors, film_factors, gem, lay_angle, merged_at
from planner.reading.scene import folded, perceived, scene, tristimulus_weights
from planner.reading.states import states

SIDE = 32
"""Stones along each side of the field."""

STEPS = 5
"""Moments within one time of integration."""

PIXELS = 6
"""To a diameter of a stone."""

LEAN = np.radians(6.0)


def directions(rng, axis, angle):
    """(N, 3) directions at `angle` from `axis` (N, 3), anywhere round it."""
    other = np.where(np.abs(axis[:, 2:]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])
    right = np.cross(other, axis)
    right /= np.linalg.norm(right, axis=1, keepdims=True)
    up = np.cross(axis, right)
    turn = rng.uniform(0, 2 * np.pi, len(axis))[:, None]
    around = np.cos(turn) * right + np.sin(turn) * up
    return np.cos(angle)[:, None] * axis + np.sin(angle)[:, None] * around


class Stones:
    """Faces of many stones of one pairing, nominal film, in one venue."""

    def __init__(self, question, grade):
        self.place = scene(question.venue)
        self.gem = gem(question.stone, question.cut, grade)
        self.angle, film = lay_angle(question.coating), states(question.coating, full=False)
        factors = film_factors(self.gem, question.coating, film)
        self.factors = factors[:, film.middle][:, len(film.scale) // 2]
        self.body = absorption(question.stone, question.cut)[None]
        self.mm = np.array([question.millimetres])
        self.cloth = question.cloth.reflectance
        self.bare = (self.cloth * self.place.white) @ tristimulus_weights()
        self.sweep = np.radians(MIRRORED * MOVEMENTS[question.movement] * INTEGRATION)
        self.beams = beams_of(self.gem)
        self.ground = ground_by_view(
            self.gem, self.angle, self.factors[:, None], self.body, self.mm, self.place, self.cloth
        )[:, 0, 0]
        self.face = faces(self.beams)
        self.lean = np.arccos(self.beams.views[:, 2])

    def light(self, rng, view):
        """(N, 3) XYZ of the faces of stones seen in the views `view` (N,), each at a moment of its own."""
        found = self.ground[view].copy()
        bands, index = spectral_bands(self.gem.body.index)
        body = body_factors(self.gem, self.angle, self.body, self.mm)
        merged = merged_at(self.gem, self.angle)[1]
        for lamp in self.place.lamps:
            eye = folded(self.place.eye[lamp], self.gem.shape.grade.stride)
            colour = carried(self.factors[:, None], body, eye, bands)[:, :BANDS, 0, 0]
            for one in np.unique(view):
                stones = np.flatnonzero(view == one)
                found[stones] += self._flashes(rng, lamp, int(one), len(stones), index, colour, merged)
        return found

    def _flashes(self, rng, lamp, view, count, index, colour, merged):
        beams, light = self.beams, self.place.light
        own = np.flatnonzero((beams.view == view) & (beams.last != 0) & (beams.outgoing[:, 2] > 0))
        turn = 2 * np.pi * ((view * 0.7548776662) % 1.0)
        lean = self.gem.wedge * np.array([np.cos(turn), np.sin(turn)])
        centre = beams.outgoing[own] + np.einsum("i,bij->bj", lean, beams.by_wedge[own])
        bent = (index - self.gem.body.index_d)[None, :, None] * beams.by_index[own][:, None]
        centre = centre[:, None] + bent
        centre /= np.linalg.norm(centre, axis=2, keepdims=True)
        radius = np.hypot(0.5 * light.size[lamp], 2.0 * self.gem.waviness * beams.by_waviness[own])
        weight = beams.weight[own] / (beams.share[view] * self.face[view])
        flux = light.lux[lamp] / light.number[lamp] * weight / (np.pi * radius**2)
        found = np.zeros((count, 3))
        axis = np.repeat(beams.views[view][None], count, axis=0)
        spread = float(np.hypot(light.spread[lamp], WINDOW))
        for _ in range(int(light.number[lamp])):
            # A von Mises-Fisher lobe about the ring: its middle first, then a place about that.
            middle = directions(rng, axis, np.full(count, light.angle[lamp]))
            w = 1.0 + spread**2 * np.log(np.maximum(rng.uniform(0, 1, count), 1e-300))
            start = directions(rng, middle, np.arccos(np.clip(w, -1, 1)))
            way = directions(rng, start, np.full(count, np.pi / 2))
            for step in (np.arange(STEPS) + 0.5) / STEPS - 0.5:
                at = start + step * self.sweep * way
                at /= np.linalg.norm(at, axis=1, keepdims=True)
                near = at @ centre[:, BANDS // 2].T > np.cos(radius.max() + 0.06)
                stone, beam = np.nonzero(near)
                gap = ((at[stone, None] - centre[beam]) ** 2).sum(axis=2)
                lit = gap < (radius[beam] ** 2)[:, None]
                sent = colour[merged.of_beam[own[beam]]]
                sent = np.einsum("nb,nbx->nx", lit * flux[beam][:, None], sent) / STEPS
                found += np.stack([np.bincount(stone, part, count) for part in sent.T], axis=1)
        return found


def stone_median(question, grade, seed=1, count=1500):
    """CIELAB (3,) of the median face of many stones."""
    rng, stones = np.random.default_rng(seed), Stones(question, grade)
    chance = stones.beams.share * stones.face
    view = rng.choice(len(chance), count, p=chance / chance.sum())
    return perceived(np.median(stones.light(rng, view), axis=0), stones.place)


def field_medians(question, grade, distances, seed=1, moments=6, side=SIDE):
    """CIELAB (3,) of the median pixel of a field at several leans of its cloth, from each distance (m)."""
    rng, stones = np.random.default_rng(seed), Stones(question, grade)
    chance = np.cumsum(stones.beams.share * stones.face)
    pitch = np.sqrt(2 / np.sqrt(3) * np.pi / 4 / question.cover)
    row, column = (one.ravel() for one in np.mgrid[:side, :side])
    place = np.stack([(column + 0.5 * (row % 2)) * pitch, row * pitch * 0.75**0.5], axis=1)
    size, step = int(side * pitch * 0.75**0.5 * PIXELS), stones.lean[1] - stones.lean[0]
    pixels = [[] for _ in distances]
    for turn in (np.arange(moments) + 0.5) / moments:
        leaning = np.interp(turn, chance / chance[-1], stones.lean)
        own = np.hypot(leaning + LEAN * rng.normal(size=len(place)), LEAN * rng.normal(size=len(place)))
        view = np.clip(np.rint((own - stones.lean[0]) / step), 0, len(stones.lean) - 1).astype(int)
        sharp = drawn(place, stones.light(rng, view), stones.bare, size)
        for found, distance in zip(pixels, distances, strict=True):
            blur = distance * 1e3 * np.radians(1 / 60) / np.sqrt(8 * np.log(2)) / question.millimetres
            image, edge = blurred(sharp, blur), min(size // 4, int(2.5 * blur * PIXELS) + PIXELS)
            found.append(image[edge : size - edge : 2, edge : size - edge : 2].reshape(-1, 3))
    return [perceived(np.median(np.concatenate(found), axis=0), stones.place) for found in pixels]


def drawn(place, faces_, cloth, size):
    """(size, size, 3) discs of one colour each, at places (N, 2) in diameters, on cloth."""
    image, grid = np.broadcast_to(cloth, (size, size, 3)).copy(), (np.arange(size) + 0.5) / PIXELS
    for (x, y), colour in zip(place, faces_, strict=True):
        down, across = (slice(max(int(at * PIXELS) - PIXELS, 0), int(at * PIXELS) + PIXELS) for at in (y, x))
        disc = (grid[down, None] - y) ** 2 + (grid[None, across] - x) ** 2 < 0.25
        image[down, across][disc] = colour
    return image


def blurred(image, spread):
    """Return an image after a Gaussian blur of standard deviation `spread`, diameters."""
    frequency = np.fft.fftfreq(len(image)) * PIXELS
    kept = np.exp(-2 * (np.pi * spread) ** 2 * (frequency[:, None] ** 2 + frequency[None] ** 2))
    return np.fft.ifft2(np.fft.fft2(image, axes=(0, 1)) * kept[:, :, None], axes=(0, 1)).real
