"""A lamp in plain words, such as "halogen 3200 front 400 lx": in any order, nothing passed over in silence.

What is recognised is taken out of the text, the most specific first; what is left is told as not
understood. Numbers may have a decimal comma.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from planner.catalogue.by_hand import number
from planner.catalogue.errors import suggest
from planner.catalogue.fields import in_range
from planner.catalogue.lamp import lamp_kinds
from planner.colour.observer import illuminant_names
from planner.lighting.lamp import light_at_voltage
from planner.lighting.places import positions
from planner.refusal import InvalidValue, show

_NUMBER: Final = r"-?\d+(?:[.,]\d+)*"
_ABSENT: Final = " | "
_IDLE: Final = {
    "a", "an", "and", "at", "by", "from", "full", "in", "is", "it", "its", "lamp", "lamps", "lantern",
    "lanterns", "light", "lights", "of", "on", "one", "the", "to", "with",
}  # fmt: skip
_ANGLES: Final = ("elevation", "azimuth", "size", "spread")


@dataclass(frozen=True)
class LampWords:
    """What was understood of a lamp; None where nothing was said."""

    kind: str | None = None
    illuminant: str | None = None
    file: Path | None = None
    """Of a measured spectrum."""
    kelvin: float | None = None
    colour: str | None = None
    """sRGB that an RGB LED is set to."""
    filter: str | Path | None = None
    """sRGB, or the file of a transmittance."""
    dim: float | None = None
    """Share of its full light."""
    volts: bool = False
    """Whether `dim` was said as a share of the voltage."""
    position: str | None = None
    lux: float | None = None
    share: float | None = None
    """Of all the lamps' light, 0 to 1."""
    metered: bool = False
    """Whether the lux were metered with the lamp dimmed and filtered as it is."""
    number: int | None = None
    angles: tuple[tuple[str, float], ...] = ()
    """Elevation, azimuth, size or spread said in degrees."""


def lamp_in_words(text: str) -> LampWords:
    """Return what `text` says of a lamp.

    Raises
    ------
    ValueError
        One sentence: what was not understood, said twice, or out of range.

    """
    rest = _Rest(f" {text} ")
    said = _colours(rest, _files(rest, LampWords()))
    rest.text = rest.text.lower()
    said = _levels(rest, said)
    said = _place(rest, said)
    left = [word for word in re.findall(r"[^\s,;|]+", rest.text) if word not in _IDLE]
    if left:
        raise InvalidValue(f"{show(' '.join(left))} was not understood; {_hint(left)}")
    return said


class _Rest:
    """The text that nothing has been made of yet."""

    def __init__(self, text: str) -> None:
        self.text = text

    def take(self, pattern: str, what: str) -> re.Match[str] | None:
        """Take out what `pattern` finds; twice is refused, as nobody can know which is meant."""
        found = list(re.finditer(rf"(?<![\w#])(?:{pattern})(?!\w)", self.text, re.IGNORECASE))
        if len(found) > 1:
            both = " and ".join(show(one[0].strip()) for one in found[:2])
            raise InvalidValue(f"found {both}; a lamp has one {what}")
        if not found:
            return None
        self.text = self.text[: found[0].start()] + _ABSENT + self.text[found[0].end() :]
        return found[0]

    def take_word(self, words: Iterable[tuple[str, str]], what: str) -> str | None:
        """Take out the longest of the (word, meaning) there is, and return its meaning."""
        meanings = {word.lower(): meaning for word, meaning in words}
        longest = sorted(meanings, key=len, reverse=True)
        found = self.take("|".join(re.escape(word).replace(r"\ ", r"\s+") for word in longest), what)
        return None if found is None else meanings[" ".join(found[0].lower().split())]


def _files(rest: _Rest, said: LampWords) -> LampWords:
    path = r'(?:"([^"]+)"|(\S+\.(?:csv|txt|tsv)))'
    if found := rest.take(rf"(?:filter|gel)\s+(?:file\s+)?{path}", "filter"):
        said = replace(said, filter=Path(found[1] or found[2]))
    if found := rest.take(rf"(?:(?:measured|spectrum|file)\s+)*{path}", "file of a spectrum"):
        said = replace(said, file=Path(found[1] or found[2]))
    return said


def _colours(rest: _Rest, said: LampWords) -> LampWords:
    digits = r"#([0-9a-f]{6})"
    if found := rest.take(rf"(?:filter|gel)\s+(?:of\s+)?{digits}", "filter"):
        if said.filter is not None:
            raise InvalidValue("found a file and a colour for the filter; a lamp has one filter")
        said = replace(said, filter=f"#{found[1].lower()}")
    if found := rest.take(rf"(?:(?:colou?r|set to)\s+)*{digits}", "colour"):
        said = replace(said, colour=f"#{found[1].lower()}")
    return said


def _levels(rest: _Rest, said: LampWords) -> LampWords:
    degrees = r"\s*(?:°|deg|degrees)?"
    turned = [(name, rest.take(rf"{name}\s+({_NUMBER}){degrees}", name)) for name in _ANGLES]
    said = replace(said, angles=tuple((name, number(found[1])) for name, found in turned if found))
    if found := rest.take(rf"({_NUMBER})\s*(?:lx|lux)", "illuminance"):
        said = replace(said, lux=lux(number(found[1])))
    if found := rest.take(
        rf"share\s+(?:of\s+)?({_NUMBER})\s*%?|({_NUMBER})\s*%\s*share", "share of the light"
    ):
        said = replace(said, share=_percent(found[1] or found[2], "a share of the light"))
    if found := rest.take(
        rf"(?:dim(?:med)?\s+)?(by\s+)?(?:to\s+|at\s+)?({_NUMBER})\s*%\s*(?:of\s+)?(volts?|voltage)?",
        "dimming",
    ):
        level = _percent(found[2], "a dimmed lamp's light")
        level = 1.0 - level if found[1] else level
        if level <= 0.0:
            raise InvalidValue(f"found {show(found[0].strip())}; a lamp dimmed that far gives no light")
        volts = found[3] is not None
        said = replace(said, dim=light_at_voltage(level) if volts else level, volts=volts)
    if found := rest.take(r"(\d+)\s*(?:×|x|lamps|lanterns)|(?:×|x)\s*(\d+)", "number"):
        said = replace(said, number=int(found[1] or found[2]))
    if rest.take("as metered|metered|as lit", "way of metering"):
        said = replace(said, metered=True)
    return said


def _place(rest: _Rest, said: LampWords) -> LampWords:
    names = "|".join(
        re.escape(one) for one in sorted(illuminant_names(), key=len, reverse=True) if one != "A"
    )
    if found := rest.take(rf"(?:illuminant\s+)?({names})|illuminant\s+(a)", "illuminant"):
        name = (found[1] or found[2]).upper()
        said = replace(said, illuminant=name)
    places = [(word, name) for name, one in positions().items() for word in one.words]
    said = replace(said, position=rest.take_word(places, "place"))
    kinds = [(word, name) for name, one in lamp_kinds().items() for word in (*one.words, name)]
    said = replace(said, kind=rest.take_word(kinds, "kind"))
    if found := rest.take(rf"({_NUMBER})\s*(?:k|kelvin)|(\d{{4,5}})", "colour temperature"):
        said = replace(said, kelvin=number(found[1] or found[2]))
    return said


def lux(value: float) -> float:
    """Return an illuminance, or refuse it."""
    return in_range("an illuminance", "lx", above=0.0, most=200000.0)(value)


def _percent(text: str, what: str) -> float:
    return in_range(what, "%", above=0.0, most=100.0)(number(text)) / 100.0


def _hint(left: list[str]) -> str:
    kinds = [word for one in lamp_kinds().values() for word in one.words]
    places = [word for one in positions().values() for word in one.words]
    near = suggest(" ".join(left), [*kinds, *places])
    if near.startswith("did you mean"):
        return near
    return (
        f"kinds of lamp are {', '.join(lamp_kinds())}; places are {', '.join(positions())}; besides those, "
        "say kelvin, lx, %, filter #rrggbb or a file"
    )
