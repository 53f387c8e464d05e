"""What a pairing of a stone with a coating is called."""

from planner.catalogue.coating import Coating
from planner.catalogue.stone import Stone


def pairing_name(stone: Stone, coating: Coating | None) -> str:
    """Return a pairing's name: "Pulley blue with the Halyard aurora film"."""
    if coating is None:
        return f"{stone.name}, uncoated"
    # What stands behind a comma in a name explains it.
    head, comma, tail = coating.name.partition(",")
    film = head if head.lower().endswith(("film", "coating")) else f"{head} film"
    return f"{stone.name}{',' if ',' in stone.name else ''} with the {film}{comma}{tail}"
