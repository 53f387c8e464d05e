"""Photographs of sample cards: stones drawn ray by ray in a room, taken by a measured camera.

Nothing here took part in building the correction: cameras, lamps and white paper are those of
``tests/swatch/conftest.py`` (two cameras measured at the National Physical Laboratory, CIE and ISO
daylight), stones come from `planner.picture`, which follows rays through single facets, with the camera's
sensitivities in place of the eye. A window brighter than the rest of the room stands anywhere before
the card, the camera itself is dark and mirrored by the stones, light falls off across the card, and
exposure, tone, saturation, balance and noise are off as cameras' are. All that is our own choice.
"""

import importlib.util
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
from PIL import Image
from scipy.ndimage import find_objects, gaussian_filter, label

from planner.catalogue.venue import Floor, Light, Spectrum, Surround, Venue
from planner.colour.grid import WAVELENGTHS
from planner.colour.screen import linear_to_srgb, xyz_to_linear
from planner.picture.bands import folding
from planner.picture.picture import light_at, prepare
from planner.picture.scatter import turned
from planner.reading.question import Question
from planner.reading.scene import scene
from planner.swatch.photo_file import Area, open_picture
from planner.swatch.resolve import SwatchColour

MM = 7.0
"""Pixels to a millimetre: a stone of SS20 is 33 pixels across."""
STRIP = (280, 62)
WHITE = Area(20, 40, 110, 190)
LEFT = 160


@cache
def studio():
    """Return what takes photographs of cloth."""
    path = Path(__file__).parents[1] / "swatch" / "conftest.py"
    spec = importlib.util.spec_from_file_location("studio", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@dataclass
class Photo:
    """A photograph with where its stones are."""

    picture: object
    boxes: list
    """For each kind, the boxes of its stones."""
    white: Area = WHITE


def room(rng, uneven=0.3):
    """Return a room: light from everywhere, and a window before the card that gives part of it."""
    share = rng.uniform(0.01, max(uneven, 0.02))
    window = Light(
        name="window", elevation=float(rng.uniform(15, 70)), azimuth=float(rng.uniform(-100, 100)), size=60.0,
        lux=1000.0 * share, spectrum=Spectrum(illuminant="D65"),
    )  # fmt: skip
    around = Surround(lux=1000.0 * (1.0 - share), spectrum=Spectrum(illuminant="D65"))
    return Venue(
        id="room", name="Room", basis="invented", distance=0.5, lights=(window,), surround=around,
        floor=Floor(reflectance=0.0),
    )  # fmt: skip


def as_taken(lights, venue, cloth, to_linear, dark):
    """Return a room's light as a camera sees it, with the dark camera before the stones."""
    weights = np.einsum("wx,wn->nx", to_linear, folding()) / scene(venue).white_xyz[1]
    spread = np.radians(dark) / 2**0.5
    kappa = 1.0 / spread**2
    evenly = float(lights.broad_lux[lights.broad_kappa == 0][0])
    hidden = -0.8 * evenly / (4.0 * np.pi) * 2.0 * np.pi / kappa
    broad = np.concatenate([lights.broad, [[0.0, 0.0, 1.0]]])
    lux, kappas = np.append(lights.broad_lux, hidden), np.append(lights.broad_kappa, kappa)
    on_cloth = np.einsum("wx,w,wn->nx", to_linear, cloth, folding())
    part = {
        "broad": broad, "broad_kappa": kappas, "broad_lux": lux,
        "broad_weights": np.repeat(weights[:, None], len(lux), axis=1).reshape(len(weights), -1),
        "weights": np.repeat(weights[None], len(lights.weights), axis=0),
        "anywhere": weights * lights.broad_lux.sum() / (4.0 * np.pi), "cloth": on_cloth,
    }  # fmt: skip
    return replace(lights, **{key: one.astype(np.float32) for key, one in part.items()})


def level(lights, venue, tilt):
    """Return the light on the tilted card, relative to the scene's white."""
    rng = np.random.default_rng(0)
    ways = rng.normal(size=(200_000, 3))
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    kappa = np.maximum(lights.broad_kappa, 1e-6)
    density = kappa / (2.0 * np.pi * -np.expm1(-2.0 * kappa))
    radiance = (np.exp(np.maximum(kappa * (ways @ lights.broad.T - 1.0), -50)) * density) @ lights.broad_lux
    cosine = np.maximum(ways @ turned(np.radians(tilt))[:, 2], 0.0)
    return float((radiance * cosine).mean() * 4.0) / scene(venue).white_xyz[1]


def scaled(stone, concentration):
    if stone.colourants is None:
        return stone
    more = {key: one * concentration for key, one in stone.colourants.items()}
    return stone.model_copy(update={"colourants": more})


def cloth_of(reflectance):
    flat = np.full(len(WAVELENGTHS), reflectance)
    return SwatchColour(
        np.array([116.0 * reflectance ** (1 / 3) - 16.0, 0.0, 0.0]), flat, "measured", 0.0, recovered=False
    )


def photograph(
    path, rng, stones, coating, concentration, *, tilt=8.0, venue=None, ground=0.6, uneven_light=0.2,
    exposure=0.7, noise=0.01, dark=7.0, lamps=(), scale=1.0, light=None, coatings=None,
):  # fmt: skip
    """Return a photograph of a card with a row of each stone, white paper to the left, as JPEG at `path`."""
    tools, venue = studio(), venue or room(rng)
    power = tools.lamp(light or str(rng.choice(tools.DAYLIGHT)))
    taken_by = str(rng.choice(tools.cameras()))
    signals = power[:, None] * tools.camera(taken_by)
    balance = np.exp(rng.normal(0, 0.05, 3))
    to_linear = signals / signals.sum(axis=0) @ tools.matrix(taken_by, "D65") @ xyz_to_linear(np.eye(3))
    to_linear = to_linear * balance
    venue = venue.model_copy(update={"lights": (*venue.lights, *lamps)})
    high = max(WHITE.y + WHITE.height + 30, 30 + STRIP[1] * len(stones) + 30)
    ground_spectrum = np.full(len(WAVELENGTHS), ground)
    card = ground_spectrum @ to_linear
    picture = np.broadcast_to(card, (high, LEFT + STRIP[0] + 30, 3)).copy()
    picture[WHITE.y : WHITE.y + WHITE.height, WHITE.x : WHITE.x + WHITE.width] = (
        tools.paper(rng.uniform(0.5, 1.0)) @ to_linear
    )
    boxes = []
    for row, one in enumerate(stones):
        film = coatings[row] if coatings else coating
        question = Question(
            scaled(one.stone, concentration.get(one.stone.id, 1.0)), one.cut, film, one.size,
            cloth_of(ground), cloth_of(ground), venue, 0.5, cover=0.25,
        )  # fmt: skip
        ready = prepare(question, *STRIP, mm_across=STRIP[0] / MM)
        lights = as_taken(ready.lights, venue, ground_spectrum, to_linear, dark)
        # Each card has stones of its own.
        order = rng.permutation(len(ready.stones.pose))
        sown = replace(ready.stones, pose=ready.stones.pose[order], wedge=ready.stones.wedge[order])
        ready = replace(ready, lights=lights, stones=sown, cloth=lights.cloth.sum(axis=0))
        drawn = light_at(ready, tilt)
        share = drawn.stone[..., None]
        here = level(lights, venue, tilt)
        strip = drawn.linear / here * share + card * (1.0 - share)
        top = 30 + row * STRIP[1]
        picture[top : top + STRIP[1], LEFT : LEFT + STRIP[0]] = strip
        boxes.append(_boxes(drawn.stone, top))
    y, x = np.mgrid[-0.5 : 0.5 : high * 1j, -0.5 : 0.5 : picture.shape[1] * 1j]
    turn = rng.uniform(0, 2 * np.pi)
    picture *= np.exp(uneven_light * (np.cos(turn) * x + np.sin(turn) * y))[..., None]
    picture *= exposure / picture[WHITE.y : WHITE.y + WHITE.height, WHITE.x : WHITE.x + WHITE.width].max()
    grey = picture @ [[0.2126], [0.7152], [0.0722]]
    picture = grey + rng.normal(1.04, 0.07) * (picture - grey)
    if scale != 1.0:
        size = round(picture.shape[1] * scale), round(picture.shape[0] * scale)
        picture = np.stack([np.asarray(Image.fromarray(picture[..., k].astype(np.float32)).resize(
            size, Image.Resampling.BOX)) for k in range(3)], axis=-1)  # fmt: skip
        boxes = [[Area(*(round(part * scale) for part in one)) for one in row] for row in boxes]
    picture = gaussian_filter(picture, (0.7, 0.7, 0.0))  # as a lens spreads it
    picture = picture + noise * np.sqrt(np.maximum(picture, 0) + 0.01) * rng.standard_normal(picture.shape)
    encoded = linear_to_srgb(np.clip(picture, 0.0, 1.0))
    encoded = encoded + 2 * rng.uniform(-0.1, 0.4) * encoded * (1 - encoded) * (encoded - 0.5)
    path.write_bytes(tools.jpeg(np.rint(255 * encoded).astype(np.uint8)))
    inner = (WHITE.x + 5, WHITE.y + 5, WHITE.width - 10, WHITE.height - 10)
    white = Area(*(round(part * scale) for part in inner))
    return Photo(open_picture(path), boxes, white)


def _boxes(share, top):
    """Return boxes round stones that are wholly on a strip."""
    found, _ = label(share > 0.5)
    high, wide = share.shape
    return [
        Area(LEFT + x.start, top + y.start, x.stop - x.start, y.stop - y.start)
        for y, x in find_objects(found)
        if min(y.start, x.start) > 0 and y.stop < high and x.stop < wide
        and min(y.stop - y.start, x.stop - x.start) > 20
    ]  # fmt: skip
