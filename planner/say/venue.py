"""What lights a venue."""

from collections.abc import Sequence
from pathlib import Path

from planner.catalogue.palette_file import entry_data
from planner.catalogue.venue import Venue
from planner.lighting import White, white_of
from planner.reading.lit import Lit, hue_of_light, lit
from planner.reading.phrase import percent
from planner.reading.scene import scene
from planner.say.document import Document, Item, Section, Sentence, document, section
from planner.say.reading import invented, notes_parts

_GOOD_RA = ((95.0, "excellent"), (80.0, "good"), (60.0, "poor"))
"""Words for the rendering of colours (common practice, no source)."""


def venue_document(
    venue: Venue, notes: Sequence[str] = (), *, saved: Path | None = None, where: str = ""
) -> Document:
    """Return what lights a venue.

    Parameters
    ----------
    venue
        It.
    notes
        How the words that it is made from were understood.
    saved, where
        The file in which it is kept, and a sentence on how to use it.

    """
    place, lights = scene(venue), lit(venue)
    total, white = sum(one.lux for one in lights), white_of(place.white)
    together = f"Together {total:.3g} lx on the cloth, averaged over its movement; "
    return document(
        f"{venue.name} ({venue.basis}), seen from {venue.distance:g} m",
        [
            Section("", tuple(map(_light, lights))),
            Section("", (
                Sentence(f"{together}{_white(white, hue_of_light(place.white))}."),
                Sentence(_flash(place.lamp_eye)),
            )),
            section("", notes_parts(notes)),
            invented([("venue", venue.basis)]),
            Sentence(where) if where else None,
        ],
        {
            "schema": "planner venue 1",
            "venue": entry_data(venue),
            "lights": [
                {
                    "name": one.name, **_white_data(one.white), "colour": one.colour,
                    "lux_on_cloth": one.lux, "share": one.share, "lamp_eye_degrees": one.lamp_eye,
                    "sparkles": one.sparkles,
                }
                for one in lights
            ],
            "together": {"lux_on_cloth": total, **_white_data(white)},
            "lamp_eye_degrees": place.lamp_eye,
            "sparkles": bool(place.lamps),
            "notes": list(notes),
            "saved": None if saved is None else {"id": venue.id, "file": str(saved)},
        },
    )  # fmt: skip


def _light(one: Lit) -> Item:
    where = "" if one.lamp_eye is None else f"; {one.lamp_eye:.0f}° from the eye"
    sparkle = ", small enough to sparkle" if one.sparkles else ", too large to sparkle" if where else ""
    light = f"{one.lux:.3g} lx on the cloth, {percent(one.share)} of it"
    return Item(f"{one.name}: {_white(one.white, one.colour)}; {light}{where}{sparkle}")


def _white(white: White, colour: str | None) -> str:
    """Return how white a light is, and how true to colours, in words and figures."""
    if colour is not None or white.kelvin is None or white.ra is None:
        return f"{colour} light" if white.kelvin is None else f"{colour} light near {white.kelvin:.0f} K"
    tint = "" if abs(white.duv) < 0.006 else ", greenish" if white.duv > 0.0 else ", pinkish"
    word = next((word for least, word in _GOOD_RA if round(white.ra) >= least), "very poor")
    return f"{white.kelvin:.0f} K{tint}, shows colours with Ra {white.ra:.0f} ({word})"


def _flash(lamp_eye: float | None) -> str:
    if lamp_eye is None:
        return "No lamp is small enough to make a sparkle: stones will show their glow alone."
    return (
        "Small lamps make sparkles. The one that lights the cloth most and the eye are "
        f"{lamp_eye:.0f}° apart, so the film flashes as it does at {lamp_eye / 2.0:.0f}°."
    )


def _white_data(white: White) -> dict[str, float | None]:
    return {"kelvin": white.kelvin, "duv": white.duv, "ra": white.ra}
