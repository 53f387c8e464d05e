"""A picture's file: PNG, written whole or not at all."""

import os
import tempfile
from contextlib import suppress
from pathlib import Path

from PIL import Image

SUFFIX = ".png"


def checked(path: Path) -> Path:
    """Return `path` if a picture can be written there.

    Raises
    ------
    ValueError
        If its name does not end in .png, it is a folder, or its folder is missing or not writable.

    """
    if path.suffix.lower() != SUFFIX:
        raise ValueError(f"{path}: pictures are written as PNG alone; give a name that ends in {SUFFIX}.")
    if path.is_dir():
        raise ValueError(f"{path}: found a folder of that name; give the name of a file.")
    if not path.parent.is_dir():
        raise ValueError(f"{path}: there is no folder {path.parent}; make it first or name another.")
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise ValueError(f"{path}: nothing may be written in {path.parent}; name another folder.")
    return path


def save(image: Image.Image, path: Path) -> None:
    """Write an image at `path` in one step: a file that is there stays whole if this fails.

    Raises
    ------
    ValueError
        As `checked`, or if writing fails.

    """
    target = checked(path).resolve()
    temporary = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        temporary = Path(name)
        with os.fdopen(handle, "wb") as file:
            image.save(file, "PNG")
            file.flush()
            os.fsync(file.fileno())
        mask = os.umask(0o077)
        os.umask(mask)
        temporary.chmod(0o666 & ~mask)
        temporary.replace(target)
        temporary = None
    except OSError as problem:
        raise ValueError(f"{path}: cannot be written ({problem.strerror or problem}).") from None
    finally:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink()
