"""Finds the folders of data that travel with the planner, in a clone and in a wheel alike."""

from functools import cache
from pathlib import Path

_HERE = Path(__file__).resolve().parent


@cache
def _folder(name: str) -> Path:
    """Return the folder `name`: inside the installed package, else beside it in a clone."""
    for place in (_HERE / "_data" / name, _HERE.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"The planner's own folder '{name}' is missing: please install it again.")


def shared(name: str) -> Path:
    """Return the path of a published table in ``shared/``, such as ``"observer.csv"``."""
    return _folder("shared") / name


def demo() -> Path:
    """Return the folder of invented palettes, ``palettes_demo/``."""
    return _folder("palettes_demo")
