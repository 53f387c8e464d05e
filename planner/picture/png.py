"""A picture's file, written whole or not at all."""

import os
from io import BytesIO
from pathlib import Path

from PIL import Image

from planner import atomic
from planner.refusal import InvalidValue

SUFFIX = ".png"


def checked(path: Path, suffix: str = SUFFIX) -> Path:
    """Return `path` if a picture whose name ends in `suffix` can be written there.

    Raises
    ------
    ValueError
        If its name does not end so, it is a folder, or its folder is missing or not writable.

    """
    if path.suffix.lower() != suffix:
        kind = "pictures" if suffix == SUFFIX else "films"
        raise InvalidValue(
            f"{path}: {kind} are written as {suffix[1:].upper()} alone; give a name that ends in {suffix}."
        )
    if path.is_dir():
        raise InvalidValue(f"{path}: found a folder of that name; give the name of a file.")
    if not path.parent.is_dir():
        raise InvalidValue(f"{path}: there is no folder {path.parent}; make it first or name another.")
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise InvalidValue(f"{path}: nothing may be written in {path.parent}; name another folder.")
    return path


def save(image: Image.Image, path: Path) -> None:
    """Write an image at `path` in one step: a file that is there stays whole if this fails.

    Raises
    ------
    ValueError
        As `checked`, or if writing fails.

    """
    data = BytesIO()
    checked(path)
    image.save(data, "PNG")
    atomic.write(path, data.getvalue())
