"""What can be bought or held: stones, coatings, cuts, venues and swatches; palette files in and out."""

from planner.catalogue.coating import NONE, Coating, Lay, Layer
from planner.catalogue.cut import Cut, Row
from planner.catalogue.errors import PaletteError
from planner.catalogue.sizes import StoneSize, size, sizes
from planner.catalogue.stone import Stone
from planner.catalogue.swatch import Swatch
from planner.catalogue.venue import Floor, Light, Spectrum, Surround, Venue

__all__ = [
    "NONE",
    "Coating",
    "Cut",
    "Floor",
    "Lay",
    "Layer",
    "Light",
    "PaletteError",
    "Row",
    "Spectrum",
    "Stone",
    "StoneSize",
    "Surround",
    "Swatch",
    "Venue",
    "size",
    "sizes",
]
