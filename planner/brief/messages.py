"""A brief's words in one language: from one file, filled in by name."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any, Final

from babel import Locale

from planner.data import shared
from planner.refusal import Refusal

ENGLISH: Final = "en"
"""The language that every other file is measured by, and the one taken where there is no other."""


@dataclass(frozen=True, eq=False)
class Messages:
    """All sentences of a language."""

    code: str
    """ISO 639 code of the language, such as ``en``."""

    entries: Mapping[str, Mapping[str, Any]]
    """Section, key, and the sentence; or a table of sentences by CLDR plural category."""

    @property
    def rtl(self) -> bool:
        """Whether it is written from right to left."""
        return bool(self.entries["language"]["direction"] == "rtl")

    def say(self, section: str, key: str, plural: int = 0, /, **values: str) -> str:
        """Return a sentence with its values in place.

        Parameters
        ----------
        section, key
            Which entry.
        plural
            What a plural is chosen by, where the entry is a table.
        values
            What stands for each name in braces. Braces in a value are letters like any other.

        """
        entry = self.entries[section][key]
        if isinstance(entry, Mapping):
            form = Locale.parse(self.code).plural_form(plural)
            entry = entry.get(form, entry["other"])
        return str(entry).format_map(values)

    def knows(self, section: str, key: str) -> bool:
        """Say whether there is such an entry."""
        return key in self.entries[section]

    def begin(self, sentence: str) -> str:
        """Return a sentence with its first letter large."""
        return sentence[:1].upper() + sentence[1:]

    def listed(self, words: list[str], joint: str = "and") -> str:
        """Return "red, green or blue"; `joint` is "and" or "or"."""
        *first, last = words
        if not first:
            return last
        return self.say("language", joint, first=self.join(first), last=last)

    def join(self, words: list[str]) -> str:
        """Return "red, green, blue"."""
        return str(self.entries["language"]["comma"]).join(words)


@cache
def messages(language: str) -> Messages:
    """Return the sentences of a language, or the English ones where it has no file yet.

    Raises
    ------
    Refusal
        If its file is not whole.

    """
    path = shared("brief") / f"{language}.toml"
    return read_messages(path if path.is_file() else shared("brief") / f"{ENGLISH}.toml")


def read_messages(path: Path) -> Messages:
    """Return the sentences of a file; its name is the code of its language.

    Raises
    ------
    Refusal
        If it cannot be read, lacks an entry, or an entry lacks a name in braces or has one too many.

    """
    try:
        entries = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as problem:
        raise Refusal(f"{path}: cannot be read ({problem})") from None
    if path.name != f"{ENGLISH}.toml":
        _check(path, entries, messages(ENGLISH).entries)
    return Messages(path.stem, entries)


def _check(path: Path, entries: Mapping[str, Any], model: Mapping[str, Mapping[str, Any]]) -> None:
    for section, keys in model.items():
        for key, sentence in keys.items():
            found = entries.get(section, {}).get(key)
            where = f'{path}, section {section}, entry "{key}"'
            if found is None:
                raise Refusal(f"{where}: is missing; the English file has it")
            wanted = _names(sentence)
            for one in found.values() if isinstance(found, Mapping) else (found,):
                names = _names(one)
                if names != wanted:
                    raise Refusal(
                        f"{where}: found {_braced(names)}; the English sentence has {_braced(wanted)}"
                    )


def _names(sentence: Any) -> frozenset[str]:
    """Return the names in braces; of a plural, those of its general form."""
    text = sentence["other"] if isinstance(sentence, Mapping) else str(sentence)
    try:
        return frozenset(name for _, name, _, _ in Formatter().parse(text) if name is not None)
    except ValueError:
        return frozenset({"a lone brace"})


def _braced(names: frozenset[str]) -> str:
    return ", ".join(f"{{{name}}}" for name in sorted(names)) or "no name in braces"
