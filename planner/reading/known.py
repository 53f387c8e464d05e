"""What a look depends on, as a key by which it is kept between runs (`planner.optics.store`)."""

from pathlib import Path

from planner.optics.arrays import Floats
from planner.optics.store import fingerprint
from planner.optics.table import Film
from planner.reading.matter import Gem
from planner.reading.scene import Scene
from planner.reading.states import States
from planner.reading.viewer import Viewer

ROOM = Path(__file__).parent
"""Where the code is that a look depends on besides the optics."""


def circumstances(
    glass: Gem, bodies: Floats, millimetres: Floats | float, place: Scene, cloth: Floats, viewer: Viewer
) -> tuple[object, ...]:
    """Return all but films: glass and cut, bodies and sizes, light, cloth, and who looks from where."""
    body, light = glass.body, place.light
    return (
        glass.shape, glass.stride, glass.waviness, glass.wedge, glass.lean, glass.wide, body.index_d,
        body.mirror, body.window, place.lamps, viewer,
        float(millimetres) if isinstance(millimetres, float) else "",
        fingerprint(
            body.index, body.metal, bodies, None if isinstance(millimetres, float) else millimetres, cloth,
            place.white, place.eye, *(getattr(light, name) for name in light.__dataclass_fields__),
        ),
    )  # fmt: skip


def of_films(*films: States) -> str:
    """Return a number for everything on which factors of films depend."""
    return fingerprint(*(part for film in films for part in _parts(film)))


def _parts(film: States) -> tuple[Floats | None, ...]:
    def of(one: Film | None) -> tuple[Floats | None, ...]:
        return (None,) if one is None else (one.index, one.thickness, one.evenness)

    return (*of(film.crown), *of(film.under), film.scale, film.evenness)
