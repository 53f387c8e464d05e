"""What the words for a venue were understood to mean, and the venue kept in the person's own palette."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from planner import atomic
from planner.catalogue import keep as catalogue
from planner.catalogue.by_hand import number
from planner.catalogue.venue import Venue
from planner.lighting.made import UNSAVED, made
from planner.lighting.words import lamp_in_words
from planner.refusal import InvalidValue, Refusal, show
from planner.say.names import lux


@dataclass(frozen=True)
class Words:
    """What a person typed."""

    name: str
    lamps: str
    """One after the other, a semicolon between."""
    surround: str
    floor: str
    distance: str


@dataclass(frozen=True)
class Understood:
    """What became of it."""

    lines: tuple[tuple[bool, str], ...]
    """Sentences, each with whether it tells of something understood."""
    venue: Venue | None
    """None while something is missing or wrong."""


def understood(words: Words, known: Mapping[str, Venue]) -> Understood:
    """Return what words for a venue mean; `known` are the venues that there are, by id."""
    lamps = [one.strip() for one in words.lamps.split(";") if one.strip()]
    lines = [_lamp(place, one) for place, one in enumerate(lamps, 1)]
    if not all(good for good, _ in lines):
        return Understood(tuple(lines), None)
    try:
        found = made(
            words.name.strip() or "Venue without a name", lamps, surround=words.surround.strip() or "dim",
            floor=words.floor.strip() or "dark stage", distance=_metres(words.distance),
            venue_id=catalogue.id_named(words.name, "venue", known, known) if words.name.strip() else UNSAVED,
        )  # fmt: skip
    except Refusal as problem:
        return Understood((*lines, (False, str(problem))), None)
    venue = found.venue
    lines = [(True, f"{one.name}: {lux(one.lux)}") for one in venue.lights]
    floor = f"floor returns {100 * venue.floor.reflectance:.0f} %"
    lines.append((True, f"surround {venue.surround.lux:g} lx, {floor}, seen from {venue.distance:g} m"))
    lines += [(True, one) for one in found.notes]
    if not words.name.strip():
        return Understood((*lines, (False, "A name is missing: say what the venue is called.")), None)
    return Understood(tuple(lines), venue)


def _lamp(place: int, text: str) -> tuple[bool, str]:
    """Return what one lamp was understood as, so that a later one that is wrong does not hide it."""
    try:
        said = lamp_in_words(text)
    except Refusal as problem:
        return False, f"lamp {place}: {problem}"
    parts = [
        said.kind or said.illuminant or (str(said.file) if said.file else ""),
        f"{said.kelvin:g} K" if said.kelvin else "",
        said.position or "",
        f"{said.lux:g} lx" if said.lux else "",
    ]
    return True, f"lamp {place}: {' '.join(one for one in parts if one)}"


def _metres(text: str) -> float:
    try:
        return number(text, "m")
    except InvalidValue:
        raise InvalidValue(f"distance: found {show(text.strip())}; say metres, such as 12") from None


def own_file(palettes: Path | None = None) -> Path:
    """Return the file that venues are kept in: in the own folder, or where `--palettes` says."""
    return catalogue.own_file("venue", palettes)


def keep(venue: Venue, path: Path) -> None:
    """Add a venue to a palette file, which is made if it is not there; its other lines stay.

    Raises
    ------
    Refusal
        If the file holds a venue of that id already, or cannot be used.

    """
    atomic.make_folder(path.parent)
    catalogue.keep((venue,), path, "Venues of our own.")
