"""What a pairing of a stone with a coating is called."""

from planner.catalogue.coating import NONE, Coating
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone


def pairing_name(stone: Stone, coating: Coating | None) -> str:
    """Return a pairing's name: "Pulley blue with the Halyard aurora film"."""
    if coating is None:
        return f"{stone.name}, uncoated"
    # What stands behind a comma in a name explains it.
    head, comma, tail = coating.name.partition(",")
    film = head if head.lower().endswith(("film", "coating")) else f"{head} film"
    return f"{stone.name}{',' if ',' in stone.name else ''} with the {film}{comma}{tail}"


def name_in(palette: Palette, stone: str, coating: str, size: str) -> str:
    """Return the name of a pairing of a palette in a size, by their ids: "Pulley blue, uncoated, SS20".

    An id that the palette lacks stands for itself.
    """
    film = palette.coatings.get(coating)
    if stone not in palette.stones or (film is None and coating != NONE):
        return f"{stone} + {coating}, {size}"
    return f"{pairing_name(palette.stones[stone], film)}, {size}"
