"""A swatch that was taken in, put into a palette file whose every other line stays."""

import re
from collections.abc import Collection
from pathlib import Path
from typing import Any

from planner.catalogue.errors import PaletteError, show
from planner.catalogue.palette import user_folder
from planner.catalogue.palette_file import build, new_palette_file, read_palette_file
from planner.catalogue.swatch import Swatch
from planner.colour.names import capped, name_of
from planner.swatch.taken import Taken


def own_file(palettes: Path | None = None) -> Path:
    """Return the file that swatches are kept in: in the own folder, or where ``--palettes`` says."""
    place = user_folder() if palettes is None else palettes
    return place if place.is_file() else place / "swatches.toml"


def suggested(name: str, taken: Collection[str]) -> str:
    """Return an id made of a colour's name, "deep-blue" or "deep-blue-2", that nothing has yet."""
    first = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "cloth"
    found, number = first, 1
    while found in taken:
        number += 1
        found = f"{first}-{number}"
    return found


def keep(swatch: Taken, name: str, path: Path, known: Collection[str]) -> Swatch:
    """Add a swatch under an id to a palette file, which is made if it is not there, and return it.

    Raises
    ------
    PaletteError
        If the id is none or is a swatch's already (one of `known` or of the file), or the file cannot
        be used: one sentence, and nothing is written.

    """
    entry = _entry(swatch, name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise PaletteError(f"{path.parent}: cannot be made ({problem.strerror}); nothing was kept") from None
    file = read_palette_file(path) if path.exists() else new_palette_file(path, "Swatches of our own.")
    if name in known or ("swatch", name) in file.lines:
        raise PaletteError(f"There is a swatch {show(name)} already; choose another id.")
    file.with_entry(entry).save()
    return entry


def _entry(swatch: Taken, name: str) -> Swatch:
    colour = swatch.colour
    data: dict[str, Any] = {
        "id": name,
        "name": name_of(capped(colour.lab)[0]).capitalize(),
        "basis": colour.basis,
        "uncertainty": round(colour.uncertainty, 2),
        "how": swatch.how[:200],
        "lab": [round(float(value), 2) for value in colour.lab],
    }
    return build(Swatch, data, f"Swatch {show(name)}")
