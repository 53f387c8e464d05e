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
from planner.say.names import lux
from planner.say.reading import invented, notes_parts

_LARGE = 5.0
"""Degrees across from which a single lamp hardly makes a stone sparkle (our choice; common practice, no
source: tubes hardly do)."""

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
    # Surround and bounce, which follow the lamps, have no size.
    sizes = [*(one.size for one in venue.lights), *[None] * len(lights)][: len(lights)]
    total, white = sum(one.lux for one in lights), white_of(place.white)
    together = f"Altogether {lux(total)} on the cloth, averaged over its movement; "
    return document(
        f"{venue.name} ({venue.basis}), seen from {venue.distance:g} m",
        [
            Section("", tuple(map(_light, lights, sizes))),
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


def _light(one: Lit, size: float | None) -> Item:
    light = f"{lux(one.lux)} on the cloth, {percent(one.share)} of the light"
    said = [f"{one.name}: {_white(one.white, one.colour)}", light]
    if one.lamp_eye is not None and size is not None:
        said.append(f"{one.lamp_eye:.0f}° from the eye; {_sparkle(one.sparkles, size)}")
    return Item("; ".join(said))


def _sparkle(sparkles: bool, size: float) -> str:
    """Return what a lamp of `size` degrees does for the sparkle."""
    if sparkles and size < _LARGE:
        return "stones sparkle in it"
    return "stones hardly sparkle in it" if sparkles else "too large for stones to sparkle in it"


def _white(white: White, colour: str | None) -> str:
    """Return how white a light is, and how true to colours, in words and figures."""
    if colour is not None or white.kelvin is None or white.ra is None:
        return f"{colour} light" if white.kelvin is None else f"{colour} light near {white.kelvin:.0f} K"
    tint = "" if abs(white.duv) < 0.006 else ", greenish" if white.duv > 0.0 else ", pinkish"
    word = next((word for least, word in _GOOD_RA if round(white.ra) >= least), "very poor")
    return f"{white.kelvin:.0f} K{tint}, colour rendering {word} (Ra {white.ra:.0f})"


def _flash(lamp_eye: float | None) -> str:
    if lamp_eye is None:
        return "No lamp here is small enough to make stones sparkle."
    return (
        f"Seen from the stones, the main lamp and the eye are {lamp_eye:.0f}° apart: that decides which "
        "colours a coating flashes."
    )


def _white_data(white: White) -> dict[str, float | None]:
    return {"kelvin": white.kelvin, "duv": white.duv, "ra": white.ra}
