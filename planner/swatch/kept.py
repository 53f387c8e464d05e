"""A swatch that was taken in, as a palette file holds it."""

from typing import Any

from planner.catalogue.errors import build
from planner.catalogue.palette_file import entry_data
from planner.catalogue.swatch import Swatch
from planner.colour.grid import WAVELENGTHS
from planner.swatch.taken import Taken


def entry(swatch: Taken, entry_id: str, called: str, name: str) -> Swatch:
    """Return a swatch as an entry: its spectrum where that was measured, else its colour.

    `called` says in a refusal where id and name came from.

    Raises
    ------
    Refusal
        If the id or the name is none.

    """
    colour = swatch.colour
    data: dict[str, Any] = {
        "id": entry_id,
        "name": name,
        "basis": colour.basis,
        "uncertainty": round(colour.uncertainty, 2),
        "how": swatch.how[:200],
    }
    if colour.recovered:
        data["lab"] = [round(float(value), 2) for value in colour.lab]
    else:
        pairs = zip(WAVELENGTHS, colour.reflectance, strict=True)
        data["spectrum"] = [[float(nm), round(float(value), 5)] for nm, value in pairs]
    if colour.fluorescent:
        data["fluorescent"] = True
    if swatch.cloth is not None:
        data["cloth"] = entry_data(swatch.cloth)
    return build(Swatch, data, called)
