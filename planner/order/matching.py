"""Which stone and coating of the palette an offer means."""

import re
from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from planner.catalogue.coating import NONE
from planner.catalogue.fields import Entry
from planner.catalogue.palette import Palette
from planner.order.words import means, plain, words

SUGGESTED = 3
"""Most ids suggested for each of stone and coating."""


class Matcher:
    """Matches words to a palette; answers are remembered, since a list repeats itself."""

    def __init__(self, palette: Palette) -> None:
        self._stones = _by_words(palette.stones)
        self._coatings = _by_words(palette.coatings)
        self._films = [one.id for one in palette.coatings.values() if _says_film(f"{one.id} {one.name}")]
        self._known: dict[tuple[str, str, str], tuple[str | None, str | None, tuple[str, ...]]] = {}

    def find(self, colour: str, coating: str, title: str) -> tuple[str | None, str | None, tuple[str, ...]]:
        """Return the ids of the stone and the coating that are meant, and suggestions where one is None.

        Ids and names are matched whatever their case and spacing: those in their own cells first, then
        those that stand whole in the title. An offer that names no coating anywhere is uncoated.
        """
        # A title is asked only where a cell is empty; most titles stand there once.
        key = colour, coating, "" if colour and coating else title
        if key not in self._known:
            self._known[key] = self._find(*key)
        return self._known[key]

    def _find(self, colour: str, coating: str, title: str) -> tuple[str | None, str | None, tuple[str, ...]]:
        stone = self._stones.get(plain(colour)) or (None if colour else _within(title, self._stones))
        film = self._coating(coating, title)
        hints: list[str] = []
        if stone is None:
            hints += _near(colour or title, self._stones)
        if film is None:
            hints += (self._films if _says_film(coating or title) else _near(coating, self._coatings))[
                :SUGGESTED
            ]
        return stone, film, tuple(dict.fromkeys(hints))

    def _coating(self, coating: str, title: str) -> str | None:
        if coating:
            return self._coatings.get(plain(coating)) or (NONE if means(coating, "uncoated") else None)
        return _within(title, self._coatings) or (None if _says_film(title) else NONE)


def _by_words(entries: Mapping[str, Entry]) -> dict[str, str]:
    """Return ids by id and by name in plain words; a name that two entries share is none."""
    named: dict[str, str | None] = {}
    for one in entries.values():
        word = plain(one.name)
        named[word] = None if word in named else one.id
    return {
        **{word: entry_id for word, entry_id in named.items() if entry_id is not None},
        **{plain(one): one for one in entries},
    }


def _within(title: str, known: Mapping[str, str]) -> str | None:
    """Return the entry with the longest name that stands whole in a title."""
    text = f" {plain(title)} "
    found = [word for word in known if f" {word} " in text]
    return known[max(found, key=len)] if found else None


def _says_film(text: str) -> bool:
    return bool(set(plain(text).split()) & words().lists["film"])


def _near(text: str, known: Mapping[str, str]) -> list[str]:
    """Return the ids whose names are nearest to a text, or share a word with it."""
    wanted = plain(text)
    if not wanted:
        return []
    near: Iterable[str] = get_close_matches(wanted, list(known), SUGGESTED, 0.6)
    if not near:
        said = set(re.findall(r"\w{4,}", wanted))
        near = [word for word in known if said & set(word.split())][:SUGGESTED]
    return list(dict.fromkeys(known[word] for word in near))
