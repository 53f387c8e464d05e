"""What a pairing of a stone with a coating is called."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Final

from planner.catalogue.coating import NONE, Coating
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone

ENGLISH: Final[Mapping[str, str]] = MappingProxyType({
    "bare": "{stone}, uncoated", "coated": "{stone} with the {film}", "film": "{coating} film",
})  # fmt: skip
"""How the parts of a name are put together; another language has its own."""


def pairing_name(stone: Stone, coating: Coating | None, joined: Mapping[str, Any] = ENGLISH) -> str:
    """Return a pairing's name: "Pulley blue with the Halyard aurora film"."""
    if coating is None:
        return joined["bare"].format(stone=stone.name)
    # What stands behind a comma in a name explains it.
    head, comma, tail = coating.name.partition(",")
    film = head if head.lower().endswith(("film", "coating")) else joined["film"].format(coating=head)
    return joined["coated"].format(stone=stone.name + "," * ("," in stone.name), film=film + comma + tail)


def name_in(palette: Palette, stone: str, coating: str, size: str) -> str:
    """Return the name of a pairing of a palette in a size, by their ids: "Pulley blue, uncoated, SS20".

    An id that the palette lacks stands for itself.
    """
    film = palette.coatings.get(coating)
    if stone not in palette.stones or (film is None and coating != NONE):
        return f"{stone} + {coating}, {size}"
    return f"{pairing_name(palette.stones[stone], film)}, {size}"
