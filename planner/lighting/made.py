"""A venue made from words: every lamp with its place and light, the surround, the floor."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from planner.catalogue.by_hand import number
from planner.catalogue.errors import build, suggest
from planner.catalogue.fields import check_hex, in_range
from planner.catalogue.lamp import LampKind, lamp_kinds
from planner.catalogue.venue import Spectrum, Venue
from planner.colour.grid import WAVELENGTHS
from planner.colour.screen import parse_hex, srgb_to_linear
from planner.lighting.filters import passed
from planner.lighting.lamp import lamp_spectrum
from planner.lighting.measured import read_lamp_file, read_transmittance_file
from planner.lighting.places import Direction, Position, floors, positions, surrounds
from planner.lighting.power import spectrum_of
from planner.lighting.words import LampWords, lamp_in_words
from planner.refusal import InvalidValue, show

UNSAVED: Final = "not-saved"
"""Id of a venue that nobody has named yet."""

_USUAL_POSITION: Final = "front"
_FAINT_COLOUR: Final = 0.999


@dataclass(frozen=True)
class Made:
    """A venue, and what a person should know of how it was understood."""

    venue: Venue
    notes: tuple[str, ...]
    """Sentences: what was taken for granted, and what dimming and filters do to the light."""


@dataclass(frozen=True)
class _Source:
    """What a lamp shines with."""

    spectrum: dict[str, Any]
    """As a palette file holds it."""
    name: str
    left: float
    """Share of the light of the open lamp at full."""
    notes: tuple[str, ...]


def made(
    name: str,
    lamps: Sequence[str],
    *,
    surround: str,
    floor: str,
    distance: float,
    total: float | None = None,
    venue_id: str = UNSAVED,
) -> Made:
    """Return the venue that words describe, its basis estimated.

    Parameters
    ----------
    name
        What it is called.
    lamps
        Each as `planner.lighting.words.lamp_in_words` reads it.
    surround
        A word of `planner.lighting.places.surrounds` or lx, and a kind of lamp if it is not the
        strongest lamp's.
    floor
        A word of `planner.lighting.places.floors`, an sRGB colour, or a reflectance from 0 to 1.
    distance
        Of the viewer, m.
    total
        Illuminance of all lamps together, lx, for those that have a share of it.
    venue_id
        Its id.

    Raises
    ------
    ValueError
        One sentence: which lamp or word, and what is wrong with it.
    Refusal
        If the file of a spectrum cannot be used, or the id is none.

    """
    said = [_told(place, text) for place, text in enumerate(lamps, 1)]
    luxes = _luxes(said, total)
    lights: list[dict[str, Any]] = []
    notes: list[str] = []
    for place, (words, level) in enumerate(zip(said, luxes, strict=True), 1):
        source = _placed(place, lamps[place - 1], words)
        reaching = level if words.metered else level * source.left
        lights += _lights(words, source, reaching)
        if words.lux is None and total is None:
            notes.append(f"lamp {place}: {USUAL_LUX:g} lx is assumed, since you did not say how bright it is")
        notes += [*source.notes, *_left(words, source, level, reaching)]
    strongest = max(lights, key=lambda one: float(one["lux"]), default=None)
    data = {
        "id": venue_id, "name": name, "basis": "estimated", "distance": distance, "lights": lights,
        "surround": _surround(surround, strongest), "floor": _floor(floor),
    }  # fmt: skip
    return Made(build(Venue, data, f"venue {show(name)}"), tuple(dict.fromkeys(notes)))


def _told(place: int, text: str) -> LampWords:
    try:
        return lamp_in_words(text)
    except InvalidValue as problem:
        raise InvalidValue(f"lamp {place} ({show(text)}): {problem}") from None


def _placed(place: int, text: str, words: LampWords) -> _Source:
    try:
        return _source(words)
    except InvalidValue as problem:
        raise InvalidValue(f"lamp {place} ({show(text)}): {problem}") from None


USUAL_LUX = 400.0
"""lx at the garment of lamps of which nobody says how bright they are (our choice)."""


def _luxes(lamps: Sequence[LampWords], total: float | None) -> list[float]:
    """Return the lx of each lamp: as said, its share of the total, or what is usual."""
    bare = [one for one in lamps if one.lux is None]
    shares = [one.share for one in bare if one.share is not None]
    if sum(shares) > 1.0 + 1e-9:
        raise InvalidValue(f"found shares of {100 * sum(shares):.0f} % together; they may make 100 % at most")
    if shares and total is None:
        raise InvalidValue(
            f"lamp {lamps.index(bare[0]) + 1}: found a share, and no lx that it is of; say how many all are"
        )
    if bare and total is None:
        return [USUAL_LUX if one.lux is None else one.lux for one in lamps]
    if total is not None and not bare:
        raise InvalidValue("found lx for every lamp and for all together; say one or the other")
    without = len(bare) - len(shares)
    rest = (1.0 - sum(shares)) / without if without else 0.0
    levels = [one.lux or (total or 0.0) * (rest if one.share is None else one.share) for one in lamps]
    if min(levels, default=1.0) <= 0.0:
        raise InvalidValue("found shares of 100 % together and a lamp without one; nothing is left for it")
    return levels


def _source(words: LampWords) -> _Source:
    """Return what a lamp shines with, its filter and dimming in it."""
    kind = words.kind or (positions()[words.position].kind if words.position else None)
    ways = [one for one in (words.kind, words.illuminant, words.file) if one is not None]
    if len(ways) > 1:
        raise InvalidValue(
            f"found {' and '.join(show(str(one)) for one in ways)}; a lamp is one or the other"
        )
    if words.illuminant or words.file:
        return _fixed(words)
    if kind is None:
        raise InvalidValue(
            f"found no kind of lamp; kinds are {', '.join(lamp_kinds())}, or name an illuminant or a file"
        )
    return _of_kind(words, kind)


def _of_kind(words: LampWords, kind: str) -> _Source:
    mixes, usual = lamp_kinds()[kind].mixes_colours, lamp_kinds()[kind].usual
    # A colour without the word filter is what a colour-mixing lamp is set to, and a filter elsewhere.
    colour = words.colour if mixes else None
    gel = words.filter if mixes or words.colour is None else words.colour
    lamp: dict[str, Any] = {"kind": kind}
    notes = []
    if colour is not None:
        lamp["colour"] = colour
    elif words.kelvin is not None:
        lamp["kelvin"] = words.kelvin
    else:
        lamp["kelvin"] = usual
        notes.append(f"No colour temperature was given for {kind}: {usual:g} K is usual.")
    if words.dim is not None:
        lamp["dim"] = round(words.dim, 4)
    if gel is not None:
        lamp["filter"] = gel if isinstance(gel, str) else [list(row) for row in read_transmittance_file(gel)]
    spectrum = build(Spectrum, {"lamp": lamp}, f"lamp {show(kind)}")
    checked = spectrum.lamp
    left = 1.0 if words.dim is None else words.dim
    if checked is not None and checked.filter is not None:
        bare = lamp_spectrum(kind, checked.kelvin, colour=checked.colour, dim=checked.dim)
        behind = passed(bare, checked.filter)
        left *= behind.share
        if behind.chroma < _FAINT_COLOUR:
            notes.append(
                f"No filter gives {gel} all of its chroma here: the nearest has {100 * behind.chroma:.0f} %."
            )
    data: dict[str, Any] = {"lamp": lamp}
    if kind == "daylight" and "filter" not in lamp:
        data = {"daylight": lamp["kelvin"]}
    white = colour or f"{lamp['kelvin']:g} K"
    return _Source(data, f"{kind} {white}{_extras(words, gel)}", left, tuple(notes))


def _fixed(words: LampWords) -> _Source:
    """Return the light of an illuminant or of a measured lamp; a filter is multiplied into its table."""
    if words.kelvin is not None:
        raise InvalidValue(f"found {words.kelvin:g} K beside a light whose spectrum is known; leave one out")
    if words.illuminant:
        data: dict[str, Any] = {"illuminant": words.illuminant}
        name = words.illuminant
    else:
        table = read_lamp_file(words.file) if words.file else ()
        data, name = {"table": [list(row) for row in table]}, "measured lamp"
    gel = words.filter or words.colour
    left = 1.0 if words.dim is None else words.dim
    if gel is None:
        return _Source(data, f"{name}{_extras(words, gel)}", left, ())
    if gel == "#000000":
        raise InvalidValue('found "#000000"; a black filter lets nothing through')
    behind = passed(
        spectrum_of(build(Spectrum, data, f"lamp {show(name)}")),
        gel if isinstance(gel, str) else read_transmittance_file(gel),
    )
    rows = [[float(nm), float(f"{one:.5g}")] for nm, one in zip(WAVELENGTHS, behind.power, strict=True)]
    return _Source({"table": rows}, f"{name}{_extras(words, gel)}", left * behind.share, ())


def _extras(words: LampWords, gel: object) -> str:
    dimmed = "" if words.dim is None else f", {100 * words.dim:.0f} % light"
    behind = "" if gel is None else f", filter {gel}" if isinstance(gel, str) else ", measured filter"
    return dimmed + behind


def _lights(words: LampWords, source: _Source, level: float) -> list[dict[str, Any]]:
    position = _hung(words)
    place: Position = positions()[position]
    own = _known(words)
    lights = []
    for way in place.directions:
        light: dict[str, Any] = {
            "name": f"{source.name}, {position}{_side(way) if len(place.directions) > 1 else ''}"[:80],
            "spectrum": source.spectrum,
            "lux": float(f"{level / len(place.directions):.4g}"),
            "elevation": way.elevation, "azimuth": way.azimuth,
            "size": way.size if own is None or own.size is None else max(own.size, way.size),
            **dict(words.angles),
        }  # fmt: skip
        many = way.number if words.number is None else words.number
        if many > 1:
            light["number"] = many
            light.setdefault("spread", way.spread or max(20.0, way.size))
        lights.append(light)
    return lights


_OVERHEAD: Final = frozenset({"overhead", "overhead array", "overhead rows"})


def _hung(words: LampWords) -> str:
    """Return the place of lamps: as said, but some kinds hang overhead in one way alone."""
    own = _known(words)
    if own is not None and own.hangs is not None and words.position in (None, *_OVERHEAD):
        return own.hangs
    return words.position or _USUAL_POSITION


def _known(words: LampWords) -> LampKind | None:
    """Return what is known of a lamp's kind; the CIE's FL illuminants are tubes."""
    if words.kind is not None:
        return lamp_kinds()[words.kind]
    tube = (words.illuminant or "").startswith("FL")
    return lamp_kinds()["three-band tube"] if tube else None


def _side(way: Direction) -> str:
    return ", left" if way.azimuth < 0.0 else ", right"


def _left(words: LampWords, source: _Source, level: float, reaching: float) -> list[str]:
    """Return what dimming and filter do to the light, and where a place was taken for granted."""
    notes = []
    if source.left < 1.0 and not words.metered:
        share = f"{100 * source.left:.0f} %"
        notes.append(
            f"{source.name}: {share} of its light is left, so {level:g} lx at full and without a filter "
            f"become {float(f'{reaching:.3g}'):g} lx (add metered if you measured it as it is)."
        )
    if words.position is None:
        notes.append(f"No place was given for {source.name}: {_hung(words)} is assumed.")
    return notes


def _surround(text: str, strongest: dict[str, Any] | None) -> dict[str, Any]:
    """Return the surround's fields: a word or lx for its level, and a kind of lamp if one is named."""
    plain = f" {text.lower().replace('-', ' ').strip()} "
    words = sorted(surrounds(), key=len, reverse=True)
    found = re.search(rf"(?<!\S)(?:{'|'.join(words)})(?!\S)", plain)
    in_lux = re.search(r"(-?\d+(?:[.,]\d+)*)\s*(?:lx|lux)\b", plain)
    one = found or in_lux
    if one is None or (found and in_lux):
        hint = suggest(text, surrounds())
        raise InvalidValue(f"surround: found {show(text)}; say a word or lx, such as 40 lx: {hint}")
    level = surrounds()[found[0]] if found else in_range("lx", "lx", least=0.0, most=200000.0)(number(one[1]))
    rest = (plain[: one.start()] + plain[one.end() :]).strip()
    if not rest:
        if strongest is None and level > 0.0:
            raise InvalidValue("surround: found no lamp at all; name its kind, such as bright daylight 6500")
        spectrum = strongest["spectrum"] if strongest else {"illuminant": "D65"}
        return {"lux": level, "spectrum": spectrum}
    try:
        return {"lux": level, "spectrum": _source(lamp_in_words(rest)).spectrum}
    except InvalidValue as problem:
        raise InvalidValue(f"surround: {problem}") from None


def _floor(text: str) -> dict[str, Any]:
    plain = " ".join(text.lower().replace("-", " ").split())
    for known in (plain, f"{plain} floor"):  # asked for a floor, one says "black"
        if known in floors():
            return dict(floors()[known])
    if plain.startswith("#"):
        try:
            linear = srgb_to_linear(parse_hex(check_hex(plain)) / 255.0)
        except InvalidValue as problem:
            raise InvalidValue(f"floor: {problem}") from None
        # Luminance of sRGB: IEC 61966-2-1:1999, the second row of its matrix.
        return {"reflectance": round(float(linear @ [0.2126, 0.7152, 0.0722]), 3), "colour": plain}
    try:
        return {"reflectance": in_range("a floor's reflectance", least=0.0, most=1.0)(number(plain))}
    except InvalidValue:
        raise InvalidValue(
            f"floor: found {show(text)}; say a word, a colour such as #c9a878 or a reflectance from 0 to 1: "
            f"{suggest(plain, floors())}"
        ) from None
