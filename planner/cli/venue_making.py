"""What lights a venue, for ``planner venue make`` and ``planner venue show``."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click
import numpy as np

from planner.catalogue.palette_file import entry_data
from planner.catalogue.venue import Venue
from planner.cli import as_json, telling, text
from planner.cli.ask import called, palette_of
from planner.cli.keeping import keep, kept, place
from planner.colour.cielab import xyz_to_lab
from planner.colour.names import hue_name_of
from planner.colour.tristimulus import to_xyz
from planner.lighting import White, white_of
from planner.lighting.made import UNSAVED, made
from planner.optics.light import illuminance
from planner.reading.phrase import percent
from planner.reading.scene import scene
from planner.refusal import InvalidValue

_GOOD_RA = ((95.0, "excellent"), (80.0, "good"), (60.0, "poor"))
"""Words for the rendering of colours (common practice, no source)."""


@dataclass(frozen=True)
class Lit:
    """One light of a venue as it reaches the cloth."""

    name: str
    white: White
    colour: str | None
    """Hue of a coloured light; None for a white one."""
    lux: float
    """On the leaning cloth, averaged over its tilts."""
    share: float
    """Of all light on the cloth, 0 to 1."""
    lamp_eye: float | None
    """Degrees between it and the eye; None for the surround and the floor's bounce."""
    sparkles: bool
    """Whether a single lamp is small enough to make a sparkle."""


def make(
    *, name: str, lamps: Sequence[str], total: float | None, surround: str, floor: str, distance: float,
    save: str | None, to: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Print the venue that words make, and keep it if asked."""
    to = place(save, to, "venue")
    try:
        found = made(
            name, lamps, surround=surround, floor=floor, distance=distance, total=total,
            venue_id=UNSAVED if save is None else save,
        )  # fmt: skip
    except InvalidValue as problem:
        raise click.UsageError(str(problem)) from None
    if to is not None:
        keep((found.venue,), to, about="Venues of our own.")
    _print(found.venue, found.notes, to, as_data=as_data)


def show(*, venue_id: str, palettes: Path | None, as_data: bool) -> None:
    """Print what lights a venue of the palettes."""
    _print(called("venue", venue_id, palette_of(palettes).venues), (), None, as_data=as_data)


def lit(venue: Venue) -> tuple[Lit, ...]:
    """Return every light of a venue: its lamps, the surround, and what the floor bounces."""
    place = scene(venue)
    on_cloth = illuminance(place.light)
    names = [one.name for one in venue.lights]
    names += ["surround"] if venue.surround.lux > 0 else []
    names += ["bounce from the floor"] if len(names) < len(on_cloth) else []
    return tuple(
        Lit(
            name=name,
            white=white_of(place.light.spectra[i]),
            colour=_colour(place.light.spectra[i]),
            lux=float(on_cloth[i]),
            share=float(on_cloth[i] / on_cloth.sum()),
            lamp_eye=float(np.degrees(place.light.angle[i])) if i < len(venue.lights) else None,
            sparkles=i in place.lamps,
        )
        for i, name in enumerate(names)
    )


def _colour(power: Any) -> str | None:
    """Return the hue of a light that is no white."""
    if white_of(power).ra is not None:
        return None
    xyz = to_xyz(power)
    return hue_name_of(xyz_to_lab(0.5 * xyz))


def _print(venue: Venue, notes: Sequence[str], to: Path | None, *, as_data: bool) -> None:
    click.echo(as_json.dumps(_data(venue, notes, to)) if as_data else _told(venue, notes, to))


def _data(venue: Venue, notes: Sequence[str], to: Path | None) -> dict[str, Any]:
    place, lights = scene(venue), lit(venue)
    return {
        "schema": "planner venue 1",
        "venue": entry_data(venue),
        "lights": [
            {
                "name": one.name, **_white_data(one.white), "colour": one.colour, "lux_on_cloth": one.lux,
                "share": one.share, "lamp_eye_degrees": one.lamp_eye, "sparkles": one.sparkles,
            }
            for one in lights
        ],
        "together": {"lux_on_cloth": sum(one.lux for one in lights), **_white_data(white_of(place.white))},
        "lamp_eye_degrees": place.lamp_eye,
        "sparkles": bool(place.lamps),
        "notes": list(notes),
        "saved": None if to is None else {"id": venue.id, "file": str(to)},
    }  # fmt: skip


def _white_data(white: White) -> dict[str, float | None]:
    return {"kelvin": white.kelvin, "duv": white.duv, "ra": white.ra}


def _told(venue: Venue, notes: Sequence[str], to: Path | None) -> str:
    place, lights = scene(venue), lit(venue)
    whole = white_of(place.white)
    together = (
        f"Together {sum(one.lux for one in lights):.3g} lx on the cloth, averaged over its movement; "
        f"{_white(whole, _colour(place.white))}."
    )
    parts = [
        text.heading(text.wrap(f"{venue.name} ({venue.basis}), seen from {venue.distance:g} m")),
        "\n".join(text.wrap(_one(one), 4, "  ") for one in lights),
        f"{text.wrap(together)}\n{text.wrap(_flash(place.lamp_eye))}",
        telling.notes(notes),
        "" if venue.basis != "invented" else telling.invented([venue.basis]),
        "" if to is None else kept((venue,), to),
    ]
    return "\n\n".join(part for part in parts if part)


def _one(one: Lit) -> str:
    where = "" if one.lamp_eye is None else f"; {one.lamp_eye:.0f}° from the eye"
    sparkle = ", small enough to sparkle" if one.sparkles else ", too large to sparkle" if where else ""
    light = f"{one.lux:.3g} lx on the cloth, {percent(one.share)} of it"
    return f"{one.name}: {_white(one.white, one.colour)}; {light}{where}{sparkle}"


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
