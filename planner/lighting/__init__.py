"""The light as people know it: lamps by kind and colour temperature, filters, venues in words.

`lamp`, `led` and `filters` turn a kind of lamp into a spectrum, `white` says how white and how true to
colours a spectrum is, `measured` reads the file of a spectrometer, `words` and `made` turn what a person
types into a venue.
"""

from planner.lighting.filters import Passed, passed
from planner.lighting.lamp import dimmed_kelvin, lamp_spectrum
from planner.lighting.measured import read_lamp_file, read_transmittance_file
from planner.lighting.power import spectrum_of
from planner.lighting.white import White, white_of

__all__ = [
    "Passed",
    "White",
    "dimmed_kelvin",
    "lamp_spectrum",
    "passed",
    "read_lamp_file",
    "read_transmittance_file",
    "spectrum_of",
    "white_of",
]
