"""A brief's file: written whole or not at all, and never over another without being asked to."""

import os
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import Final

from planner.catalogue.errors import PaletteError

FORMS: Final = (".pdf", ".png", ".txt")
"""Ends of names that a brief is written to."""


def checked(path: Path, *, replace: bool = False) -> Path:
    """Return `path` if a brief can be written there.

    Raises
    ------
    PaletteError
        If its name says no known form, it is a folder, a file is there and `replace` is not asked for, or
        its folder is missing or not writable.

    """
    if path.suffix.lower() not in FORMS:
        raise PaletteError(f"{path}: a brief is written as PDF, PNG or text; give a name that ends in "
                           f"{', '.join(FORMS[:-1])} or {FORMS[-1]}")  # fmt: skip
    if path.is_dir():
        raise PaletteError(f"{path}: found a folder of that name; give the name of a file")
    if path.exists() and not replace:
        raise PaletteError(
            f"{path}: found a file of that name; give another name, or --replace to write over it"
        )
    if not path.parent.is_dir():
        raise PaletteError(f"{path}: there is no folder {path.parent}; make it first or name another")
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise PaletteError(f"{path}: nothing may be written in {path.parent}; name another folder")
    return path


def save(data: bytes, path: Path, *, replace: bool = False) -> None:
    """Write a file in one step.

    Raises
    ------
    PaletteError
        As `checked`, or if writing fails; then nothing was changed.

    """
    target = checked(path, replace=replace).resolve()
    temporary = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{target.name[:80]}.", dir=target.parent)
        temporary = Path(name)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        mask = os.umask(0o077)
        os.umask(mask)
        temporary.chmod(0o666 & ~mask)
        if replace:
            temporary.replace(target)
            temporary = None
        else:
            # Unlike a renaming, a link never takes the place of a file that came meanwhile.
            os.link(temporary, target)
    except FileExistsError:
        raise PaletteError(f"{path}: found a file of that name; nothing was written") from None
    except OSError as problem:
        raise PaletteError(
            f"{path}: cannot be written ({problem.strerror or problem}); nothing was changed"
        ) from None
    finally:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink()
