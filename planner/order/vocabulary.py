"""The words in which people write offers: headings, materials, units, signs of money."""

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from planner.data import shared

_NO_WORD = re.compile(r"[^\w]+|_")


@dataclass(frozen=True)
class Words:
    """``shared/offer_columns.toml``, turned round: from what is written to what it means."""

    columns: Mapping[str, str]
    """Field of an offer, by heading."""

    signs: Mapping[str, tuple[str, ...]]
    """Currencies, by sign."""

    usual_sign: Mapping[str, str]
    """Which of several currencies a sign is taken as where nothing else is said."""

    materials: Mapping[str, str]
    """Material, by claim."""

    units: Mapping[str, int]
    """Stones in a unit of count."""

    days: Mapping[str, int]
    """Days in a unit of time."""

    lists: Mapping[str, frozenset[str]]
    """Words for "free", "no returns" and so on."""


@cache
def words() -> Words:
    """Return all words."""
    with shared("offer_columns.toml").open("rb") as file:
        data = tomllib.load(file)
    return Words(
        columns={plain(name): field for field, names in data["columns"].items() for name in names},
        signs={sign: tuple(codes) for sign, codes in data["signs"].items()},
        usual_sign=data["usual_sign"],
        materials={plain(name): kind for kind, names in data["materials"].items() for name in names},
        units=data["units"],
        days=data["days"],
        lists={name: frozenset(map(plain, some)) for name, some in data["words"].items()},
    )


@lru_cache(maxsize=10_000)
def plain(text: str) -> str:
    """Return words in lower case, with one space where anything but letters and digits stands."""
    return _NO_WORD.sub(" ", unicodedata.normalize("NFKC", text).casefold()).strip()


@lru_cache(maxsize=4096)
def means(text: str, meaning: str) -> bool:
    """Return whether a cell is one of the words for a `meaning`, such as ``free``."""
    return plain(text) in words().lists[meaning]
