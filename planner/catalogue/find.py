"""Entries by what people call them: an id, a name in any spelling of capitals and accents, a trade word."""

import unicodedata
from collections.abc import Mapping
from typing import Final, TypeVar

from planner.catalogue.coating import NONE
from planner.catalogue.fields import Entry
from planner.refusal import InvalidValue, show

EntryT = TypeVar("EntryT", bound=Entry)

_TRADE: Final[Mapping[str, Mapping[str, str]]] = {
    "coating": {
        **dict.fromkeys(("uncoated", "bare", "plain", "no coating", "without"), NONE),
        **dict.fromkeys(
            ("ab", "aurora", "aurora borealis", "ab coated", "ab coating", "half coated", "half coated ab",
             "iridescent", "rainbow"), "ab",
        ),
    },
    "venue": {
        **dict.fromkeys(("ice", "ice rink", "rink led", "rink, led"), "rink"),
        **dict.fromkeys(("stage", "theatre old lamps", "theater", "old theatre lamps"), "theatre"),
        **dict.fromkeys(("spot", "follow spot"), "followspot"),
        **dict.fromkeys(("school gym", "sports hall", "hall with tubes"), "gym"),
        **dict.fromkeys(("outdoors", "outdoors at noon", "outside", "daylight"), "noon"),
        **dict.fromkeys(("dance hall", "ballroom floor"), "ballroom"),
    },
    "cut": {
        "8": "eight", "12": "twelve", "16": "sixteen", "8+8": "sixteen", "cabochon": "dome", "smooth": "dome",
    },
}  # fmt: skip
"""Trade words for entries that are there with every palette (common practice, no source)."""

_SURELY: Final = 85.0
"""Likeness from which a name is another one misspelt, and no name of its own (our choice)."""

_LIKE: Final = 60.0
"""Likeness, out of 100, from which a name is worth suggesting (our choice)."""


def key(said: str) -> str:
    """Return a name without capitals, accents and marks: "Überrock-Blau" is "uberrock blau"."""
    bare = unicodedata.normalize("NFKD", said.casefold())
    letters = "".join(one for one in bare if not unicodedata.combining(one))
    return " ".join("".join(one if one.isalnum() or one == "+" else " " for one in letters).split())


def id_of(kind: str, said: str, known: Mapping[str, Entry]) -> str | None:
    """Return the id of what is meant; None where nothing is called so, or several things are.

    Parameters
    ----------
    kind
        Such as "stone".
    said
        An id, a name, or a trade word.
    known
        Entries of that kind by id.

    """
    if said in known or (kind == "coating" and said == NONE):
        return said
    wanted = key(said)
    # A name goes before an id, which may be left from an older name.
    for same in (
        [one.id for one in known.values() if key(one.name) == wanted],
        [one.id for one in known.values() if key(one.id) == wanted],
    ):
        if len(same) == 1:
            return same[0]
    trade = _TRADE.get(kind, {}).get(wanted)
    return trade if trade in known or trade == NONE else None


def id_meant(kind: str, said: str, known: Mapping[str, Entry]) -> str:
    """Return the id of what is meant, as `id_of`.

    Raises
    ------
    InvalidValue
        If nothing is called so, or several things are: one sentence with what may have been meant.

    """
    found = id_of(kind, said, known)
    if found is None:
        raise InvalidValue(not_found(kind, said, known))
    return found


def near(said: str, known: Mapping[str, EntryT], most: int = 3) -> tuple[EntryT, ...]:
    """Return the entries whose names or ids are like what was said, the likest first."""
    from rapidfuzz import fuzz

    wanted = key(said)

    def like(one: EntryT) -> float:
        return max(fuzz.token_set_ratio(wanted, key(one.name)), fuzz.ratio(wanted, key(one.id)))

    found = sorted(((like(one), one) for one in known.values()), key=lambda pair: -pair[0])
    return tuple(one for score, one in found[:most] if score >= _LIKE)


def hint(said: str, known: Mapping[str, EntryT]) -> str:
    """Return the end of a refusal: what may have been meant."""
    like = near(said, known)
    if like:
        return f"did you mean {' or '.join(f'{one.name} ({one.id})' for one in like)}?"
    if not known:
        return "there is none yet"
    listed = ", ".join(list(known)[:12])
    return f"there are {listed}{f' and {len(known) - 12:,} more' if len(known) > 12 else ''}"


def not_found(kind: str, said: str, known: Mapping[str, EntryT]) -> str:
    """Return one sentence for a name that nothing has."""
    bare = "; uncoated is none" if kind == "coating" else ""
    return f"found {show(said)}; there is no such {kind}: {hint(said, known)}{bare}"


def misspelt(said: str, known: Mapping[str, EntryT]) -> bool:
    """Say whether a name is so like one of the entries' that it is hardly meant for anything else."""
    from rapidfuzz import fuzz

    wanted = key(said)
    names = (key(name) for one in known.values() for name in (one.name, one.id))
    return any(fuzz.ratio(wanted, name) >= _SURELY for name in names)
