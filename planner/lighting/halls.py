"""A venue from a few words on where it is: "school hall, light walls, stage lights, 15 m".

The kind of place says which lamps usually hang there, how light it is round about, the floor and the distance
(``shared/lighting_words.toml``); whatever else is said takes the place of that. What is not understood is
told, never passed over.
"""

import re
from collections.abc import Collection, Iterable
from typing import Final

from planner.catalogue.by_hand import number
from planner.catalogue.keep import free_id
from planner.lighting.made import Made, made
from planner.lighting.places import Place, floors, places, surrounds
from planner.lighting.words import LampWords, lamp_in_words
from planner.refusal import InvalidValue, show

_OTHERWISE: Final = "hall"
"""What a place is where only its lamps or walls are told of."""

_IDLE: Final = frozenset(
    {"a", "an", "and", "at", "by", "from", "in", "lit", "my", "of", "on", "our", "seen", "the", "with"}
)


def hall_said(text: str, taken: Collection[str]) -> Made:
    """Return the venue that words tell of, named by them, with what was understood as its notes.

    `taken` are the ids that venues have already.

    Raises
    ------
    InvalidValue
        If nothing of it was understood: one sentence, with what would be.

    """
    rest, kind = _take(text.lower(), [(word, name) for name, one in places().items() for word in one.words])
    rest, round_about = _take(rest, [(word, word) for word in surrounds() if " " in word])
    rest, floor = _take(rest, [(word, word) for word in floors()])
    far = re.search(r"(\d+(?:[.,]\d+)?)\s*(?:m|metres?|meters?)\b", rest)
    if far:
        rest = f"{rest[: far.start()]},{rest[far.end() :]}"
    lamps, unknown = _lamps(rest)
    if kind is None and not (lamps or round_about or floor):
        raise InvalidValue(
            f"found {show(text)}; say what kind of place it is ({', '.join(places())}), and what you know of "
            "its lamps: school hall, stage lights"
        )
    usual = places()[kind or _OTHERWISE]
    name = f"{text.strip()[:1].upper()}{text.strip()[1:]}"
    found = made(
        name, [_whole(said, one, usual) for said, one in lamps] or usual.lamps,
        surround=round_about or usual.surround, floor=floor or usual.floor,
        distance=number(far[1]) if far else usual.distance, venue_id=free_id(name, taken, "venue"),
    )  # fmt: skip
    return Made(found.venue, tuple(_told(kind, found, bool(lamps), round_about or usual.surround, unknown)))


def _take(text: str, words: Iterable[tuple[str, str]]) -> tuple[str, str | None]:
    """Return the text without the longest of some words, and those that mean the same; and what it means."""
    longest, taken = sorted(words, key=lambda one: -len(one[0])), None
    for word, meaning in longest:
        # Stage lights are lamps, and no stage.
        found = re.search(rf"(?<!\w){re.escape(word)}(?!\w)(?!\s+(?:lights?|lamps?)\b)", text)
        if found and taken in (None, meaning):
            text, taken = f"{text[: found.start()]} {text[found.end() :]}", meaning
    return text, taken


def _lamps(text: str) -> tuple[list[tuple[str, LampWords]], list[str]]:
    """Return the lamps told of, each with its words, and what was not understood."""
    lamps, unknown = [], []
    for part in re.split(r"[,;+&]|\band\b", text):
        left = " ".join(word for word in part.split() if word not in _IDLE)
        if not left:
            continue
        try:
            one = lamp_in_words(left)
        except InvalidValue:
            unknown.append(left)
            continue
        if one.kind or one.illuminant or one.position or one.kelvin:
            lamps.append((left, one))
        else:
            unknown.append(left)
    return lamps, unknown


def _whole(said: str, one: LampWords, usual: Place) -> str:
    """Return a lamp's words, with as much light as the place usually has where nobody said how much."""
    if one.lux is not None:
        return said
    level = max(lamp_in_words(each).lux or 0.0 for each in usual.lamps)
    first = lamp_in_words(usual.lamps[0])
    kind = "" if one.kind or one.illuminant else first.kind or ""
    where = "" if one.position else first.position or ""
    return f"{said} {kind} {where} {level:g} lx"


def _told(kind: str | None, found: Made, lamps: bool, walls: str, unknown: list[str]) -> Iterable[str]:
    venue = found.venue
    lit = " and ".join(dict.fromkeys(one.name.partition(",")[0] for one in venue.lights))
    usually = "" if lamps else ", as is usual there"
    yield (
        f"{_article(kind or _OTHERWISE)} lit by {lit}{usually}; {walls}, seen from {venue.distance:g} m. "
        "It is kept as a venue of your own."
    )
    if unknown:
        yield f"Not understood, and left out: {', '.join(unknown)}."


def _article(kind: str) -> str:
    if kind == "outdoors":
        return "Outdoors,"
    return f"{'An' if kind[0] in 'aeiou' else 'A'} {kind}"
