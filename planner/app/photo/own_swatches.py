"""A swatch that was taken in, put into a person's own palette."""

import re
from collections.abc import Mapping
from pathlib import Path

from planner import atomic
from planner.catalogue import keep as catalogue
from planner.catalogue.cloth import Cloth
from planner.catalogue.errors import build
from planner.catalogue.find import key
from planner.catalogue.swatch import Swatch
from planner.refusal import show
from planner.swatch.kept import entry
from planner.swatch.resolve import TYPED_UNCERTAINTY
from planner.swatch.taken import Taken, on_cloth


def own_file(palettes: Path | None = None) -> Path:
    """Return the file that swatches are kept in: in the own folder, or where ``--palettes`` says."""
    return catalogue.own_file("swatch", palettes)


def question(swatch: Taken) -> str:
    """Return what is asked before a swatch is kept."""
    sure = swatch.colour.uncertainty
    too = ", surer than it is" if sure > TYPED_UNCERTAINTY else ""
    return (
        f"What do you call it? Kept, it stays known to ±{sure:.1f}. Only the colour is not kept, and counts "
        f"as known to ±{TYPED_UNCERTAINTY:g}{too}."
    )


def suggested(photo: Path | None, colour: str, known: Mapping[str, Swatch]) -> str:
    """Return a name that no swatch has: the photograph's where it is words, else the colour's."""
    stem = "" if photo is None else " ".join(re.split(r"[\s_-]+", photo.stem)).strip()
    words = stem if re.fullmatch(r"[^\W\d_]{3,}( [^\W\d_]+)*", stem) else colour
    name = f"{words[:1].upper()}{words[1:]}"
    tries = (name, *(f"{name} {count}" for count in range(2, len(known) + 3)))
    return next(one for one in tries if not _has(one, known))


def _has(name: str, known: Mapping[str, Swatch]) -> bool:
    return key(name) in {key(one.name) for one in known.values()}


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


def keep(
    swatch: Taken, name: str, path: Path, known: Mapping[str, Swatch], cloth: Cloth | None = None
) -> Swatch:
    """Add a swatch under a name to a palette file, which is made if it is not there, and return it.

    Raises
    ------
    Refusal
        If there is no name, one of `known` has it already, or the file cannot be used: one sentence, and
        nothing is written.

    """
    free = f"; {show(suggested(None, name, known))} is free"
    entry_id = catalogue.id_named(name, "swatch", known, known, instead=free)
    named = swatch if cloth is None else on_cloth(swatch, cloth)
    found = entry(named, entry_id, f"Swatch {show(name)}", name)
    atomic.make_folder(path.parent)
    catalogue.keep((found,), path, "Swatches of our own.", known)
    return found
