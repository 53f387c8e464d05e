"""A swatch that was taken in, put into a person's own palette."""

from collections.abc import Collection
from pathlib import Path

from planner import atomic
from planner.catalogue import keep as catalogue
from planner.catalogue.cloth import Cloth
from planner.catalogue.errors import build, show
from planner.catalogue.swatch import Swatch
from planner.swatch.kept import entry
from planner.swatch.taken import Taken, on_cloth


def own_file(palettes: Path | None = None) -> Path:
    """Return the file that swatches are kept in: in the own folder, or where ``--palettes`` says."""
    return catalogue.own_file("swatch", palettes)


def suggested(name: str, taken: Collection[str]) -> str:
    """Return an id made of a colour's name, that nothing has yet."""
    return catalogue.free_id(name, taken, "cloth")


def cloth_called(text: str) -> Cloth | None:
    """Return the cloth that a person's words tell of; None for none.

    "satin", "sheer over fair skin" or "two-tone with 802060".

    Raises
    ------
    Refusal
        If there is no such kind, backing or colour.

    """
    kind, over, backing = (part.strip() for part in text.strip().lower().partition(" over "))
    if not kind:
        return None
    kind, with_, second = (part.strip() for part in kind.partition(" with "))
    data = {"kind": kind} | ({"backing": backing} if over else {})
    if with_:
        data["second"] = f"#{second.removeprefix('#')}"
    return build(Cloth, data, "Kind of cloth")


def keep(swatch: Taken, name: str, path: Path, known: Collection[str], cloth: Cloth | None = None) -> Swatch:
    """Add a swatch under an id to a palette file, which is made if it is not there, and return it.

    Raises
    ------
    Refusal
        If the id is none or is a swatch's already (one of `known` or of the file), or the file cannot
        be used: one sentence, and nothing is written.

    """
    found = entry(swatch if cloth is None else on_cloth(swatch, cloth), name, f"Swatch {show(name)}")
    atomic.make_folder(path.parent)
    catalogue.keep((found,), path, "Swatches of our own.", known)
    return found
