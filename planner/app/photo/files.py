"""The pictures and folders that a path being typed may lead to."""

import os
import re
from collections.abc import Set as AbstractSet
from itertools import islice
from pathlib import Path
from typing import Final

PICTURES: Final = frozenset({".jpg", ".jpeg", ".png", ".heic", ".heif", ".mpo"})
"""Endings of files that can hold a photograph."""

_MOST: Final = 4000
"""Entries of a folder that are looked at; more would keep a person waiting."""


_BEGUN_ANEW: Final = re.compile(r"""^.*/["' ]*(?=/|~/|[A-Za-z]:[\\/])""")
"""What stands before a whole path that was pasted behind a folder already there."""


def meant(typed: str) -> str:
    """Return the path that was meant: a whole one pasted behind a folder, or in quotes, counts alone."""
    return _BEGUN_ANEW.sub("", typed).strip("\"' ")


def path_of(typed: str) -> Path:
    """Return the path that a person typed; a ~ that names nobody stays as it is."""
    typed = meant(typed)
    try:
        return Path(typed).expanduser()
    except RuntimeError:
        return Path(typed)


def is_file(typed: str | Path) -> bool:
    """Say whether what a person typed is the path of a file; what no system takes for a path is not."""
    try:
        return bool(typed) and (typed if isinstance(typed, Path) else path_of(typed)).is_file()
    except (OSError, ValueError):
        return False


def within_reach(typed: str, endings: AbstractSet[str] = PICTURES) -> list[str]:
    """Return the paths that `typed` can be completed to: folders first, with a stroke at their end.

    Files are those with one of `endings`, such as ``.png``.
    """
    head, part = os.path.split(meant(typed))
    folder = path_of(head) if head else Path()
    try:
        with os.scandir(folder) as entries:
            found = sorted(_fitting(entries, part.lower(), endings))
    except (OSError, ValueError):
        return []
    return [os.path.join(head, name) for _, _, name in found]  # noqa: PTH118 - as typed, "./" and all


def above(typed: str) -> list[str]:
    """Return the folder above the one that is listed, where its name alone was typed; none above all."""
    head, part = os.path.split(meant(typed))
    try:
        folder = path_of(head or ".").resolve()
    except (OSError, RuntimeError, ValueError):
        return []
    return [] if part or folder == folder.parent else [str(folder.parent).rstrip(os.sep) + os.sep]


def _fitting(
    entries: "os._ScandirIterator[str]", part: str, endings: AbstractSet[str]
) -> list[tuple[bool, str, str]]:
    fits = []
    for entry in islice(entries, _MOST):
        name = entry.name
        if part not in name.lower() or (name.startswith(".") and not part.startswith(".")):
            continue
        if _is_folder(entry):
            fits.append((False, name.lower(), f"{name}{os.sep}"))
        elif Path(name).suffix.lower() in endings:
            fits.append((True, name.lower(), name))
    return fits


def _is_folder(entry: "os.DirEntry[str]") -> bool:
    try:
        return entry.is_dir()
    except OSError:  # it vanished meanwhile, or lies where one may not look
        return False
