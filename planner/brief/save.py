"""A brief's file: written whole or not at all, and never over another without being asked to."""

import os
from pathlib import Path
from typing import Final

from planner import atomic
from planner.refusal import Refusal

FORMS: Final = (".pdf", ".png", ".txt")
"""Ends of names that a brief is written to."""


def checked(path: Path, *, replace: bool = False) -> Path:
    """Return `path` if a brief can be written there.

    Raises
    ------
    Refusal
        If its name says no known form, it is a folder, a file is there and `replace` is not asked for, or
        its folder is missing or not writable.

    """
    if path.suffix.lower() not in FORMS:
        raise Refusal(f"{path}: a brief is written as PDF, PNG or text; give a name that ends in "
                           f"{', '.join(FORMS[:-1])} or {FORMS[-1]}")  # fmt: skip
    if not path.stem.strip(". "):
        raise Refusal(f"{path}: found no name before {path.suffix}; give one, such as brief{path.suffix}")
    if path.is_dir():
        raise Refusal(f"{path}: found a folder of that name; give the name of a file")
    if path.exists() and not replace:
        raise Refusal(f"{path}: found a file of that name; give another name, or --replace to write over it")
    if not path.parent.is_dir():
        raise Refusal(f"{path}: there is no folder {path.parent}; make it first or name another")
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise Refusal(f"{path}: nothing may be written in {path.parent}; name another folder")
    return path


def save(data: bytes, path: Path, *, replace: bool = False) -> None:
    """Write a file in one step.

    Raises
    ------
    Refusal
        As `checked`, or if writing fails; then nothing was changed.

    """
    atomic.write(checked(path, replace=replace), data, new=not replace)
