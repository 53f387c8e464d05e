"""What can be bought or held: stones, coatings, cuts, venues and swatches; palette files in and out."""

from planner.catalogue.coating import NONE, Coating, Lay, Layer
from planner.catalogue.cut import Cut, Row
from planner.catalogue.lamp import Lamp, LampKind, lamp_kinds
from planner.catalogue.palette import Origin, Palette, load, sources, user_folder
from planner.catalogue.palette_file import PaletteFile, new_palette_file, read_palette_file
from planner.catalogue.sizes import StoneSize, size, sizes
from planner.catalogue.stone import Stone
from planner.catalogue.swatch import Swatch
from planner.catalogue.venue import Floor, Light, Spectrum, Surround, Venue
from planner.refusal import Refusal

__all__ = [
    "NONE",
    "Coating",
    "Cut",
    "Floor",
    "Lamp",
    "LampKind",
    "Lay",
    "Layer",
    "Light",
    "Origin",
    "Palette",
    "PaletteFile",
    "Refusal",
    "Row",
    "Spectrum",
    "Stone",
    "StoneSize",
    "Surround",
    "Swatch",
    "Venue",
    "lamp_kinds",
    "load",
    "new_palette_file",
    "read_palette_file",
    "size",
    "sizes",
    "sources",
    "user_folder",
]
