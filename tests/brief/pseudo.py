"""A language made from English: longer words, accents, and marks that turn the direction of writing."""

import re
from pathlib import Path

import tomlkit

from planner.brief.messages import read_messages
from planner.data import shared

ACCENTS = str.maketrans("aeiouyAEIOUncsz", "áéîõüýÁÉÎÕÜñçšž")
RIGHT_TO_LEFT, OPEN, CLOSE = "\N{RIGHT-TO-LEFT MARK}", "⟦", "⟧"


def pseudo(text):
    """Return a sentence a third longer; names in braces stay."""
    parts = re.split(r"(\{\w+\})", text)
    said = "".join(part if part.startswith("{") else part.translate(ACCENTS) for part in parts)
    letters = len(re.sub(r"\{\w+\}", "", text))
    return f"{RIGHT_TO_LEFT}{OPEN}{said}{'ø' * (letters // 3)}{CLOSE}{RIGHT_TO_LEFT}"


def language(folder: Path, direction: str):
    """Return the pseudo-language, read from a file as any other would be."""
    entries = tomlkit.parse((shared("brief") / "en.toml").read_text(encoding="utf-8")).unwrap()
    for section, keys in entries.items():
        for key, entry in keys.items():
            if section == "language" and key in {"name", "direction", "comma"}:
                continue
            keys[key] = (
                {form: pseudo(one) for form, one in entry.items()}
                if isinstance(entry, dict)
                else pseudo(entry)
            )
    entries["language"]["direction"] = direction
    path = folder / "eo.toml"
    path.write_text(tomlkit.dumps(entries), encoding="utf-8")
    return read_messages(path)
