"""A field of stones drawn by brute force, to hold seen colour against.

Nothing is shared with `planner.optics.moments` or with the sampling of flashes but the traced beams: every
stone is given a direction of view, every lamp of the venue a way of its own while it sweeps past, and each
beam through whose disc of sky a lamp passes lights its stone, band by band, for as long as the lamp is in it.
The field is then blurred pixel by pixel, and the median of all pixels taken.
"""

import numpy as np

from planner.optics.discs import BANDS
from planner.optics.flash import WINDOW, carried, faces, in_bands, spectral_bands
from planner.optics.moments import INTEGRATION
from planner.reading.look import ground_by_view
from planner.reading.matter import absorption, beams_of, body_factors, film_factors, gem, lay_angle, merged_at
from planner.reading.scene import folded, perceived, scene, tristimulus_weights
from planner.reading.states import states
from planner.reading.viewer import MIRRORED, MOVEMENTS

SIDE = 16
"""Stones along each side of the field."""

MOMENTS = 24
"""Leans of its cloth at which the field is drawn."""

DARK = 1e-6
"""Light, beside white cloth's, below which a beam is as good as dark: jet lets nothing through."""

PIXELS = 6
"""To a diameter of a stone."""

LEAN = np.radians(6.0)


def cross(one, other):
    """(N, 3) products of vectors; NumPy's spends several times as long on the order of axes."""
    (x, y, z), (u, v, w), found = one.T, other.T, np.empty_like(one)
    found[:, 0], found[:, 1], found[:, 2] = y * w - z * v, z * u - x * w, x * v - y * u
    return found


def directions(rng, axis, angle):
    """(N, 3) directions at `angle` from `axis` (N, 3), anywhere round it."""
    other = np.where(np.abs(axis[:, 2:]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])
    right = cross(other, axis)
    right /= np.linalg.norm(right, axis=1, keepdims=True)
    up = cross(axis, right)
    turn = rng.uniform(0, 2 * np.pi, len(axis))[:, None]
    around = np.cos(turn) * right + np.sin(turn) * up
    return np.cos(angle)[:, None] * axis + np.sin(angle)[:, None] * around


class Stones:
    """Faces of many stones of one pairing, nominal film, in one venue."""

    def __init__(self, question, grade):
        self.place = scene(question.venue)
        self.gem = gem(question.stone, question.cut, grade)
        self.angle = lay_angle(question.coating)
        film = states(question.coating, full=False, least=1, most=1)
        self.factors = film_factors(self.gem, question.coating, film)[:, 0]
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
        bands, index = spectral_bands(self.gem.index)
        body = body_factors(self.gem, self.angle, self.body, self.mm)
        merged = merged_at(self.gem, self.angle)[1]
        for lamp in self.place.lamps:
            eye = folded(in_bands(self.place.eye[lamp], bands), self.gem.stride)
            colour = carried(self.factors[:, None], body, eye)[:, :BANDS, 0, 0]
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
        sent = flux[:, None, None] * colour[merged.of_beam[own]]
        some = np.flatnonzero(sent[..., 1].max(axis=1) > DARK * self.place.white_xyz[1])
        centre, radius, sent = centre[some], radius[some], sent[some]
        middle = centre[:, BANDS // 2]
        apart = np.linalg.norm(centre - middle[:, None], axis=2).max(axis=1)
        reach = 2 * np.arcsin(np.minimum((radius + apart) / 2, 1))
        within = np.cos(np.minimum(reach + self.sweep / 2, np.pi))
        found = np.zeros((count, 3))
        axis = np.repeat(beams.views[view][None], count, axis=0)
        spread = float(np.hypot(light.spread[lamp], WINDOW))
        for _ in range(int(light.number[lamp])):
            # A von Mises-Fisher lobe about the ring: its middle first, then a place about that.
            around = directions(rng, axis, np.full(count, light.angle[lamp]))
            w = 1.0 + spread**2 * np.log(np.maximum(rng.uniform(0, 1, count), 1e-300))
            start = directions(rng, around, np.arccos(np.clip(w, -1, 1)))
            way = directions(rng, start, np.full(count, np.pi / 2))
            stone, beam = np.nonzero(start @ middle.T > within)
            aside = np.abs(np.einsum("px,px->p", cross(start, way)[stone], middle[beam]))
            stone, beam = (one[aside < np.sin(np.minimum(reach[beam], np.pi / 2))] for one in (stone, beam))
            # Along a great circle the lamp is nearest to a disc's middle at `when`, and within it for
            # `half` of a radian before and after; what of that lies in the moment counts.
            x, y = (np.einsum("nx,nbx->nb", one[stone], centre[beam]) for one in (start, way))
            least = (1.0 - 0.5 * radius[beam] ** 2)[:, None] / np.hypot(x, y)
            half, when = np.arccos(np.clip(least, -1.0, 1.0)), np.arctan2(y, x)
            ends = np.clip(np.stack([when - half, when + half]), -self.sweep / 2, self.sweep / 2)
            part = np.einsum("nb,nbx->nx", (ends[1] - ends[0]) / self.sweep, sent[beam])
            found += np.stack([np.bincount(stone, one, count) for one in part.T], axis=1)
        return found


def stone_median(question, grade, seed=1, count=1500):
    """CIELAB (3,) of the median face of many stones."""
    rng, stones = np.random.default_rng(seed), Stones(question, grade)
    chance = np.cumsum(stones.beams.share * stones.face)
    view = np.searchsorted(chance / chance[-1], (np.arange(count) + 0.5) / count)
    return perceived(np.median(stones.light(rng, view), axis=0), stones.place)


def field_medians(question, grade, distances, seed=1, moments=MOMENTS, side=SIDE):
    """CIELAB (3,) of the median pixel of a field at several leans of its cloth, from each distance (m)."""
    rng, stones = np.random.default_rng(seed), Stones(question, grade)
    chance = np.cumsum(stones.beams.share * stones.face)
    pitch = np.sqrt(2 / np.sqrt(3) * np.pi / 4 / question.cover)
    row, column = (one.ravel() for one in np.mgrid[:side, :side])
    place = np.stack([(column + 0.5 * (row % 2)) * pitch, row * pitch * 0.75**0.5], axis=1)
    extent, step = side * pitch * np.array([1.0, 0.75**0.5]), stones.lean[1] - stones.lean[0]
    leaning = np.interp((np.arange(moments) + 0.5) / moments, chance / chance[-1], stones.lean)[:, None]
    away = LEAN * rng.normal(size=(2, moments, len(place)))
    own = np.hypot(leaning + away[0], away[1])
    view = np.clip(np.rint((own - stones.lean[0]) / step), 0, len(stones.lean) - 1).astype(int)
    faces_ = stones.light(rng, view.ravel()).reshape(moments, len(place), 3)
    blurs = [
        one * 1e3 * np.radians(1 / 60) / np.sqrt(8 * np.log(2)) / question.millimetres for one in distances
    ]
    pixels = [
        [blurred(one, extent, blur) for blur in blurs] for one in drawn(place, faces_, stones.bare, extent)
    ]
    return [
        perceived(np.median(np.concatenate(found).reshape(-1, 3), axis=0), stones.place)
        for found in zip(*pixels, strict=True)
    ]


def drawn(place, faces_, cloth, extent):
    """Yield (H, W, 3) discs of one colour each (M, N, 3), at places (N, 2) in diameters, on cloth.

    What leaves the picture on one side comes in on the other, so that no edge is lost to the blur.
    """
    count = np.rint(extent * PIXELS).astype(int)
    x, y = ((np.arange(n) + 0.5) * (whole / n) for n, whole in zip(count, extent, strict=True))
    across, down = (
        np.abs((one[None] - place[:, axis, None] + 0.5 * extent[axis]) % extent[axis] - 0.5 * extent[axis])
        for axis, one in enumerate((x, y))
    )
    number = np.full((len(y), len(x)), -1)
    for one in range(len(place)):
        own = np.ix_(np.flatnonzero(down[one] < 0.5), np.flatnonzero(across[one] < 0.5))
        inside = down[one, own[0]] ** 2 + across[one, own[1]] ** 2 < 0.25
        number[own] = np.where(inside, one, number[own])
    for colours in faces_:
        yield np.concatenate([colours, cloth[None]])[number]


def blurred(image, extent, spread):
    """Return an image of `extent` (2,) diameters after a Gaussian blur of standard deviation `spread`."""
    high, wide = image.shape[:2]
    across, down = np.fft.rfftfreq(wide, extent[0] / wide), np.fft.fftfreq(high, extent[1] / high)
    kept = np.exp(-2 * (np.pi * spread) ** 2 * (down[:, None] ** 2 + across**2))
    return np.fft.irfft2(np.fft.rfft2(image, axes=(0, 1)) * kept[:, :, None], (high, wide), axes=(0, 1))
