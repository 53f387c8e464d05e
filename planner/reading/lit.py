"""What lights a venue: each of its lights as it reaches the cloth."""

from dataclasses import dataclass

import numpy as np

from planner.catalogue.venue import Venue
from planner.colour.cielab import xyz_to_lab
from planner.colour.names import hue_name_of
from planner.colour.tristimulus import to_xyz
from planner.lighting import White, white_of
from planner.optics.arrays import Floats
from planner.optics.light import illuminance
from planner.reading.scene import scene


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
            colour=hue_of_light(place.light.spectra[i]),
            lux=float(on_cloth[i]),
            share=float(on_cloth[i] / on_cloth.sum()),
            lamp_eye=float(np.degrees(place.light.angle[i])) if i < len(venue.lights) else None,
            sparkles=i in place.lamps,
        )
        for i, name in enumerate(names)
    )


def hue_of_light(power: Floats) -> str | None:
    """Return the hue of a light that is no white; None for a white one.

    Parameters
    ----------
    power : array of shape (81,)
        Spectral power from 380 to 780 nm, in any unit.

    """
    if white_of(power).ra is not None:
        return None
    return hue_name_of(xyz_to_lab(0.5 * to_xyz(power)))
