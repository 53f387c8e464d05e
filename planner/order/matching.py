"""Which stone and coating of the palette an offer means."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from planner.catalogue.coating import NONE
from planner.catalogue.fields import Entry
from planner.catalogue.palette import Palette
from planner.order.heard import Guess, Heard, Kind
from planner.order.vocabulary import means, plain, words

SUGGESTED = 3
"""Most ids suggested for each of stone and coating."""

LIKELY = 80.0
"""Likeness, 0 to 100, from which a name is guessed (our choice); nothing is ordered by it until confirmed."""

AHEAD = 5.0
"""By how much a guess must be likelier than the next entry (our choice)."""

SHORT = 4
"""Letters of a name up to which a part of it says too little."""


@dataclass(frozen=True)
class Match:
    """What an offer means."""

    stone: str | None
    """Id; None where it was not matched."""
    coating: str | None
    """Id or ``none``; None where it was not matched."""
    hints: tuple[str, ...] = ()
    """Ids that may be meant where one is None."""
    guesses: tuple[Guess, ...] = ()
    """What is likely to be meant, to be confirmed."""


class Matcher:
    """Matches words to a palette; answers are remembered, since a list repeats itself."""

    def __init__(self, palette: Palette, heard: Heard | None = None) -> None:
        self._stones = _by_words(palette.stones)
        self._coatings = _by_words(palette.coatings)
        offered = palette.offered
        self._films = [one.id for one in offered.coatings.values() if _says_film(f"{one.id} {one.name}")]
        self._hers = palette.hers_for
        # What is only likely is looked for among what is offered: hers, where the demo's are hidden.
        self._likely_stones = _by_words(offered.stones)
        self._likely_coatings = _by_words(offered.coatings)
        self._heard = Heard() if heard is None else heard
        self._known: dict[tuple[str, str, str, str], Match] = {}

    def find(self, colour: str, coating: str, title: str, seller: str = "") -> Match:
        """Return what an offer means.

        Ids and names are matched whatever their case and spacing: those in their own cells first, then
        those that stand whole in the title. An offer that names no coating anywhere is uncoated. What a
        person confirmed of the seller's words counts before all.
        """
        # A title is asked only where a cell is empty; most titles stand there once.
        key = colour, coating, "" if colour and coating else title, seller
        if key not in self._known:
            self._known[key] = self._find(*key)
        return self._known[key]

    def _find(self, colour: str, coating: str, title: str, seller: str) -> Match:
        said_so = self._heard.meaning
        stone = said_so(seller, "stone", colour) or self._stones.get(plain(colour))
        # "Royal blue AB" in one cell: what is called a coating there is one.
        both = f"{title} {colour}" if colour and stone is None else title
        if stone is None:
            stone = _within(title, self._stones) if not colour else self._stones.get(self._bare(colour))
        film = said_so(seller, "coating", coating) or self._coating(coating, both)
        # "AB" is what she calls hers, if she has one.
        film = self._hers.get(film or "", film)
        hints: list[str] = []
        guesses: list[Guess] = []
        if stone is None:
            hints += _near(colour or title, self._likely_stones)
            guesses += _guess(seller, "stone", colour, self._likely_stones)
        if film is None:
            hints += (self._films if _says_film(coating or title) else _near(coating, self._likely_coatings))[
                :SUGGESTED
            ]
            guesses += _guess(seller, "coating", coating, self._likely_coatings)
        return Match(stone, film, tuple(dict.fromkeys(hints)), tuple(guesses))

    def _bare(self, colour: str) -> str:
        """Return a colour in plain words without a coating that it ends with."""
        said = plain(colour)
        film = max((one for one in self._coatings if said.endswith(f" {one}")), key=len, default="")
        return said.removesuffix(film).strip()

    def _coating(self, coating: str, title: str) -> str | None:
        if coating:
            return self._coatings.get(plain(coating)) or (NONE if means(coating, "uncoated") else None)
        return _within(title, self._coatings) or (None if _says_film(title) else NONE)


def _guess(seller: str, kind: Kind, written: str, known: Mapping[str, str]) -> list[Guess]:
    """Return the one entry that a name is likely to mean; none where two are about as likely."""
    said = _spelt_out(written)
    if not said:
        return []
    scores: dict[str, float] = {}
    for name, one in known.items():
        scores[one] = max(scores.get(one, 0.0), _alike(said, _spelt_out(name)))
    first, second = [*sorted(scores.items(), key=lambda one: -one[1]), ("", 0.0), ("", 0.0)][:2]
    sure = first[1] >= LIKELY and first[1] - second[1] >= AHEAD
    return [Guess(seller, kind, written, first[0])] if sure else []


def _spelt_out(name: str) -> str:
    """Return a name in plain words, in which a short word for an aurora film is that word."""
    return " ".join("aurora" if one == "ab" else one for one in plain(name).split())


def _alike(said: str, name: str) -> float:
    """Return how like a name a text is, 0 to 100: misspelt, in another order, or with words more or fewer."""
    from rapidfuzz import fuzz

    whole = max(fuzz.ratio(said, name), fuzz.token_sort_ratio(said, name))
    # A part of a name is worth less, the more of it is missing.
    short, long = sorted((len(said), len(name)))
    part = fuzz.token_set_ratio(said, name) * (0.7 + 0.3 * short / long)
    return max(whole, part if short > SHORT else 0.0)


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
