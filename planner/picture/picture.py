"""A field of stones on its cloth in a venue's light, as a viewer straight before it sees it.

Prepare once (films, lights and places), then draw as many frames as wanted: only the rays depend
on how far the cloth is tilted.
"""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from planner.colour.adaptation import adaptation_matrix, degree_for
from planner.colour.screen import xyz_to_linear
from planner.optics.arrays import Floats, Ints
from planner.optics.cut import GIRDLE, Facets, build_cut
from planner.optics.glow import through_cloth, transmittance
from planner.optics.merge import off_axis, on_axis
from planner.optics.table import Film, film_table
from planner.picture.bands import NODES, places
from planner.picture.follow import Matter, Posed, enter, even_tables, follow
from planner.picture.glare import halo_of, scattered
from planner.picture.lamps import Lamps, Room, lamps
from planner.picture.scatter import Stones, scatter, turned
from planner.picture.tone import compressed, encoded, on_screen
from planner.reading.matter import QUICK, Gem, absorption, beams_of, film_factors, gem, lay_angle, merged_at
from planner.reading.question import Question
from planner.reading.scene import Scene, scene
from planner.reading.states import states

STATES = 5
"""Film thicknesses among the stones of a lot."""

MOST_TILT = 45.0
"""Furthest tilt of the cloth, degrees to either side."""

_SHARPER = 2
"""Samples to a pixel, each way, that a small picture needs for its stones' edges and facets."""

_CHUNK = 16_000
"""Rays followed at once: enough to keep NumPy busy, few enough for the memory."""

_THREADS = 2
"""Threads that share a large picture."""

NEAR_VIEW = 12.0
"""Degrees that the longer side of a picture of what is near fills to whoever looks at it: 12 cm of a screen
60 cm away. It enlarges as a loupe does (our choice)."""


_GRADE = replace(QUICK, stride=1)
"""How finely light is followed that reaches the cloth under an unfoiled stone."""


@dataclass(frozen=True, eq=False)
class Prepared:
    """All that does not change from frame to frame."""

    matter: Matter
    stones: Stones
    state: Ints
    """(S,) each stone's film state."""
    lights: Lamps
    cloth: Floats
    """(3,) linear light of the bare cloth."""
    wedge: float
    """radians"""
    width: int
    """pixels"""
    height: int
    mm_per_pixel: float
    samples: int
    """To a pixel, each way."""


@dataclass(frozen=True, eq=False)
class Light:
    """A frame before it is made fit for a screen."""

    linear: Floats
    """(H, W, 3) linear light of sRGB's primaries, adapted from the venue's white to D65; white
    cloth is 1, a flash may be thousands."""
    stone: Floats
    """(H, W) share of each pixel that stones hide, 0 to 1."""
    mm_per_pixel: float


def default_width_mm(question: Question) -> float:
    """Return a width of cloth that shows about seven stones side by side, mm."""
    cover = min(max(question.cover, 0.05), 0.9)
    return 7.0 * question.millimetres * float(np.sqrt(np.pi / (4.0 * cover)))


def prepare(
    question: Question,
    width: int,
    height: int,
    *,
    mm_across: float | None = None,
    samples: int = _SHARPER,
    room: Room | None = None,
) -> Prepared:
    """Return what all frames of a question share.

    Parameters
    ----------
    question
        Stone, coating, size, cloth, venue and cover. Where stones at that cover would overlap, they
        stand edge to edge.
    width, height
        Size of the picture, pixels, at least 1.
    mm_across
        Width of the cloth shown, mm, above 0; `default_width_mm` when not given.
    samples
        Samples to a pixel, each way.
    room
        What the surround is like; as even as a reading takes it when not given.

    Raises
    ------
    ValueError
        If a size is not above 0.

    """
    across = default_width_mm(question) if mm_across is None else mm_across
    if min(width, height, samples) < 1 or not 0.0 < across < np.inf:
        raise ValueError(
            f"A picture needs at least 1 × 1 pixels and some cloth to show; found {width} × {height} pixels "
            f"over {across:g} mm."
        )
    place = scene(question.venue)
    to_linear = _to_linear(place)
    lights = lamps(question.venue, place, question.cloth.reflectance, to_linear, room)
    stone = gem(question.stone, question.cut, _GRADE)
    facets = build_cut(stone.shape.rows, stone.shape.girdle)
    sides = int((facets.rows == GIRDLE).sum())
    corner = 1.0 / np.cos(np.pi / sides)
    area = 0.25 * sides * np.tan(np.pi / sides) * question.millimetres**2
    mm = across / width
    # Room at the sides for stones half seen, and for the cloth that tilting brings into view.
    margin = 2.0 * question.millimetres
    seen = across / np.cos(np.radians(MOST_TILT)) + margin
    stones = scatter(seen, mm * height + margin, corner * question.millimetres, area, question.cover)
    return Prepared(
        matter=_matter(question, stone, facets, len(stones.centre)),
        stones=stones,
        state=np.minimum((stones.chance * _thicknesses(question)).astype(int), STATES - 1),
        lights=lights,
        cloth=lights.cloth.sum(axis=0),
        wedge=stone.wedge,
        width=width,
        height=height,
        mm_per_pixel=mm,
        samples=samples,
    )


def _to_linear(place: Scene) -> Floats:
    """Return (3, 3) from XYZ in the venue, cd/m² (a row), to linear light: as `read.perceived` adapts."""
    white = place.white_xyz
    return adaptation_matrix(white, degree=degree_for(white)) @ xyz_to_linear(np.eye(3))


def _thicknesses(question: Question) -> int:
    return STATES if question.coating and question.coating.stone_spread > 0 else 1


def _matter(question: Question, stone: Gem, facets: Facets, count: int) -> Matter:
    coating, at = question.coating, places()
    angle = lay_angle(coating)
    # Each stone was laid under an off-axis source with a turn of its own.
    classes = off_axis(facets, max(count, 1), angle) if angle else on_axis(facets, 1)
    body = stone.body
    metal = None if body.metal is None else body.metal[at]
    glass = replace(body, index=body.index[at], metal=metal)
    film = states(coating, full=False)
    spread = coating.stone_spread if coating else 0.0
    middle = len(film.scale) // 2
    odds = [(i + 0.5) / _thicknesses(question) for i in range(_thicknesses(question))]
    scale = 1.0 + spread * np.array([NormalDist().inv_cdf(odd) for odd in odds])

    def laid(part: Film | None) -> Film | None:
        if part is None:
            return None
        nominal = part.thickness[middle] / film.scale[middle]
        return Film(part.index[:, at], scale[:, None] * nominal, np.repeat(part.evenness[middle], len(scale)))

    table = film_table(NODES, glass, classes, laid(film.crown), laid(film.under))
    front, back, through = (even_tables(table.u, part).astype(np.float32) for part in table.whole())
    own = absorption(question.stone, question.cut)
    return Matter(
        facets=facets,
        index=body.index_d,
        offset=(glass.index - body.index_d).astype(np.float32),
        back=stone.shape.back,
        millimetres=question.millimetres,
        absorption=own[at].astype(np.float32),
        waviness=np.asarray(stone.waviness),
        under=_under(question, stone, own),
        classes=classes.of,
        table=np.concatenate([back, through], axis=-1).reshape(-1, 2 * len(at)),
        front=front.reshape(-1, len(at)),
        shape=(back.shape[1], back.shape[2]),
        lowest=float(table.u[0]),
    )


def _under(question: Question, stone: Gem, absorbs: Floats) -> Floats:
    """Return (N,) how bright the cloth is under an unfoiled stone, beside the bare cloth."""
    if stone.shape.back == "foil":
        return np.zeros(len(NODES), np.float32)
    coating, cloth = question.coating, question.cloth.reflectance
    film, beams = states(coating, full=False), beams_of(stone)
    merged = merged_at(stone, lay_angle(coating))[1]
    factors = film_factors(stone, coating, film)[:, len(film.scale) // 2][:, None]
    body = transmittance(absorbs[None], np.array([question.millimetres]), merged.path)
    index = stone.body.index_d if stone.shape.back == "sink" else None
    seen = through_cloth(factors, body, beams, merged, cloth, index)[0, 0]
    # Nothing comes back from an almost black cloth a second time: in and out again remain.
    black = np.full_like(cloth, 1e-6)
    one_way = np.sqrt(through_cloth(factors, body, beams, merged, black, None)[0, 0] / black)
    return (seen / np.maximum(one_way * cloth, 1e-12))[places()].astype(np.float32)


def light_at(prepared: Prepared, tilt: float = 0.0, nod: float = 0.0) -> Light:
    """Return one frame as linear light; `tilt` and `nod` in degrees, see `traced`."""
    fine, covered = traced(prepared, tilt, nod)
    return Light(fine.mean(axis=(1, 3)), covered.mean(axis=(1, 3)), prepared.mm_per_pixel)


def traced(prepared: Prepared, tilt: float = 0.0, nod: float = 0.0) -> tuple[Floats, Floats]:
    """Return linear light (H, s, W, s, 3) of every sample, and (H, s, W, s) which ones see a stone.

    Parameters
    ----------
    prepared
        What is drawn.
    tilt, nod
        How far the cloth is turned about the vertical, then leant forwards, degrees, from -45 to 45.

    Raises
    ------
    ValueError
        If an angle is out of range.

    """
    for name, angle in (("tilt", tilt), ("nod", nod)):
        if not abs(angle) <= MOST_TILT:
            raise ValueError(
                f"A {name} must lie from -{MOST_TILT:g} to {MOST_TILT:g} degrees; found {angle:g}."
            )
    high, wide, sharp = prepared.height, prepared.width, prepared.samples
    fine = np.broadcast_to(prepared.cloth, (high * sharp * wide * sharp, 3)).astype(np.float32)
    covered = np.zeros(len(fine), np.float32)
    if len(prepared.stones.centre):
        _draw(prepared, turned(np.radians(tilt), np.radians(nod)), fine, covered)
    return fine.reshape(high, sharp, wide, sharp, 3), covered.reshape(high, sharp, wide, sharp)


def frame(prepared: Prepared, tilt: float = 0.0, nod: float = 0.0) -> Floats:
    """Return one frame as it is seen near by, (H, W, 3) uint8 sRGB; flashes drawn dimmer than they are.

    Made fit for a screen sample by sample and then filtered in linear light, so that edges stay sharp
    where a facet flashes. The light of the screen is scattered in the eye that looks at it; what is added is
    the glare of light brighter than the screen's white, of a picture that fills `NEAR_VIEW`.
    """
    fine, _ = traced(prepared, tilt, nod)
    beyond = np.maximum(fine - 1.0, 0.0).mean(axis=(1, 3))
    fine += halo_of(beyond, NEAR_VIEW / max(prepared.width, prepared.height))[:, None, :, None]
    return encoded(compressed(fine).mean(axis=(1, 3)))


def render(
    question: Question, width: int, height: int, *, mm_across: float | None = None, tilt: float = 0.0,
    samples: int = _SHARPER,
) -> Floats:  # fmt: skip
    """Return one picture, (H, W, 3) uint8 sRGB; parameters as for `prepare` and `light_at`."""
    return frame(prepare(question, width, height, mm_across=mm_across, samples=samples), tilt)


def scene_at_distance(prepared: Prepared, tilt: float, metres: float, nod: float = 0.0) -> Floats:
    """Return a frame as an eye `metres` away has it, (H, W, 3) uint8 sRGB."""
    light = light_at(prepared, tilt, nod)
    return on_screen(scattered(light.linear, np.degrees(1e-3 * light.mm_per_pixel / metres)))


def by_stone(prepared: Prepared, tilt: float = 0.0, nod: float = 0.0) -> Floats:
    """Return (K, 3) mean linear light of each stone that is whole in the picture; angles as for `traced`."""
    cloth = turned(np.radians(tilt), np.radians(nod))
    posed = _posed(prepared, cloth)
    stone, _, start = _aim(prepared, cloth, posed.turn)
    hit, facet, position, _ = enter(prepared.matter, posed, stone, start)
    stone = stone[hit]
    count = len(prepared.stones.centre)
    light = follow(prepared.matter, posed, prepared.lights, stone, facet, position)
    rays = np.bincount(stone, minlength=count)
    room = 0.5 * np.array([prepared.width, prepared.height]) * prepared.mm_per_pixel
    whole = (np.abs(prepared.stones.centre) < room - prepared.matter.millimetres).all(axis=1) & (rays > 0)
    total = np.stack([np.bincount(stone, light[:, i], minlength=count) for i in range(3)], axis=1)
    return (total[whole] / rays[whole, None]).astype(np.float32)


def _posed(prepared: Prepared, cloth: Floats) -> Posed:
    wedge, way = np.tan(prepared.wedge), prepared.stones.wedge
    back = np.stack([wedge * np.cos(way), wedge * np.sin(way), np.full(len(way), -1.0)], axis=1)
    back /= np.linalg.norm(back, axis=1, keepdims=True)
    return Posed(cloth @ prepared.stones.pose, back.astype(np.float32), prepared.state)


def _draw(prepared: Prepared, cloth: Floats, fine: Floats, covered: Floats) -> None:
    """Write what every sample over a stone sees into the (samples, 3) picture, in place."""
    matter, posed = prepared.matter, _posed(prepared, cloth)
    stone, sample, start = _aim(prepared, cloth, posed.turn)
    hit, facet, position, depth = enter(matter, posed, stone, start)
    stone, sample = stone[hit], sample[hit]
    # Where a leaning stone hides part of the next, the one nearer to the eye is seen.
    nearest = np.full(len(fine), -1)
    order = np.argsort(depth, kind="stable")
    nearest[sample[order]] = order
    rays = nearest[nearest >= 0]
    covered[sample[rays]] = 1.0

    def see(part: Ints) -> None:
        fine[sample[part]] = follow(matter, posed, prepared.lights, stone[part], facet[part], position[part])

    parts = np.array_split(rays, max(1, len(rays) // _CHUNK))
    if len(parts) == 1:
        see(rays)
        return
    with ThreadPoolExecutor(_THREADS) as pool:
        list(pool.map(see, parts))


def _aim(prepared: Prepared, cloth: Floats, turn: Floats) -> tuple[Ints, Ints, Floats]:
    """Return a ray for each sample near a stone: stone, sample, and a point in the stone's frame."""
    facets, size = prepared.matter.facets, prepared.matter.millimetres
    step = prepared.mm_per_pixel / prepared.samples
    wide, high = prepared.width * prepared.samples, prepared.height * prepared.samples
    sides = int((facets.rows == GIRDLE).sum())
    reach = size * np.hypot(0.5 / np.cos(np.pi / sides), 0.5 * facets.height)
    foot = np.column_stack([prepared.stones.centre, np.zeros(len(turn))]) @ cloth.T
    middle = foot + turn[:, :, 2] * (0.5 * facets.height * size)
    box = np.arange(int(np.ceil(2.0 * reach / step)) + 1)
    column = np.floor((middle[:, 0] - reach) / step + 0.5 * wide).astype(int)[:, None, None] + box
    row = np.floor((-middle[:, 1] - reach) / step + 0.5 * high).astype(int)[:, None, None] + box[:, None]
    x = (column + 0.5 - 0.5 * wide) * step
    y = (0.5 * high - row - 0.5) * step
    inside = (column >= 0) & (column < wide) & (row >= 0) & (row < high)
    inside &= (x - middle[:, :1, None]) ** 2 + (y - middle[:, 1:2, None]) ** 2 <= reach**2
    stone, i, j = np.nonzero(inside)
    offset = np.stack([x[stone, 0, j] - foot[stone, 0], y[stone, i, 0] - foot[stone, 1]], axis=1)
    start = (turn[stone, :2] * offset[:, :, None]).sum(axis=1) / size
    return stone, row[stone, i, 0] * wide + column[stone, 0, j], start.astype(np.float32)
