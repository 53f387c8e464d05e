"""What photographs of stones show: what is made out on them, and the colour of each kind."""

from collections.abc import Sequence
from typing import Any, Final

from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.photo.marked import Found, Read
from planner.fitting.photo.together import LEAST_FLASHES, Kind
from planner.say.document import Document, Item, Part, Section, Sentence, document
from planner.say.names import counted
from planner.say.reading import notes_parts
from planner.swatch.photo_file import Area

_LIMITS: Final = (
    "A photograph of stones is a rough measure: small stones have few pixels, the reflection of a lamp burns "
    "out and loses its colour, and stones mirror the room and the camera. Lay them on a card beside white "
    "paper, under a dull sky or by a window out of the sun. Step back half a metre and zoom in, and tilt the "
    "card a little; a second shot, tilted the other way, makes it surer."
)


def proposal_document(found: Sequence[Found], command: str, schema: str) -> Document:
    """Return what is made out on photographs on which no stone is marked yet.

    Parameters
    ----------
    found
        The photographs.
    command
        The options that mark a stone.
    schema
        Of the figures: that of the command which asked.

    """
    several = len(found) > 1
    said = [Sentence(_made_out(one, f"{photo}:" if several else "")) for photo, one in enumerate(found, 1)]
    return document(
        "",
        [*said, Sentence(f"Say which stone each is: {command}."), Sentence(_LIMITS)],
        {
            "schema": schema,
            "photographs": [
                {"file": str(one.picture.path), "white": list(one.white),
                 "stones": [list(area) for area in one.stones]}
                for one in found
            ],
        },
    )  # fmt: skip


def _made_out(one: Found, first: str) -> str:
    lead = f"{one.picture.path.name}: white at {_typed(one.white)}"
    if not one.stones:
        return f"{lead}; no stones found, so mark each as x,y,w,h."
    places = [f"{first}{number} at {_typed(area)}" for number, area in enumerate(one.stones, 1)]
    return f"{lead}; stones {'; '.join(places)} (x,y,w,h, in rows from the top)."


def read_section(read: Read) -> Section:
    """Return what photographs say of each kind of stone, and what to know of it."""
    white = "; ".join(
        f"{_typed(shot.white)} in {path.name}" for path, shot in zip(read.paths, read.shots, strict=True)
    )
    kinds = [_kind(stone, kind) for stone, kind in read.kinds.items()]
    parts: list[Part | None] = [*kinds, Sentence(f"White read at {white}; correct it with --white.")]
    return Section("", tuple(one for one in (*parts, *notes_parts(read.notes)) if one is not None))


def _kind(stone: str, kind: Kind) -> Item | None:
    lab = kind.seen.lab
    if lab is None:
        return None
    hex_ = to_hex(lab_to_srgb(lab)[0])
    shots = f" in {kind.shots} shots" if kind.shots > 1 else ""
    apart = "" if kind.scatter is None else f", ΔE00 {kind.scatter:.1f} apart"
    said = (
        f"{stone}: {name_of(lab)} ({hex_}), known to ±{kind.seen.error:.1f} ΔE00; "
        f"{counted(kind.stones, 'stone')}{shots}{apart}"
    )
    if kind.flashes:
        flashes = ", ".join(f"{name} {count}" for name, count in kind.flashes)
        said += f"; flashes by their rims: {flashes}"
        said += "" if kind.flash else f" (fewer than {LEAST_FLASHES}, too few to go by)"
    return Item(f"{said}.", hex=hex_)


def read_data(read: Read) -> dict[str, Any]:
    """Return what photographs say of each stone and kind of stone in figures."""
    return {
        "photographs": [
            {
                "file": str(path), "white": list(shot.white),
                "stones": [
                    {"stone": name, "area": list(stone.area), "lab": list(stone.lab),
                     "share_left_out": stone.read.bright, "flashes": list(stone.read.flashes)}
                    for name, stone in zip(names, shot.stones, strict=True) if stone is not None
                ],
            }
            for path, shot, names in zip(read.paths, read.shots, read.marked, strict=True)
        ],
        "kinds_seen": [
            {"stone": name, "lab": list(kind.seen.lab), "error_dE00": kind.seen.error, "stones": kind.stones,
             "shots": kind.shots, "apart_dE00": kind.scatter, "flashes": dict(kind.flashes),
             "flashes_without_hue": kind.hidden}
            for name, kind in read.kinds.items() if kind.seen.lab is not None
        ],
        "notes": list(read.notes),
    }  # fmt: skip


def _typed(area: Area) -> str:
    return ",".join(map(str, area))
