"""What a person set once for all: whether the demo's stones, coatings and swatches are offered to her.

It is a small TOML file beside her own palettes, which may be deleted.
"""

from dataclasses import replace
from pathlib import Path
from typing import Final

from planner import atomic
from planner.catalogue.files import read_text
from planner.catalogue.palette import Palette, user_folder
from planner.catalogue.toml_text import parse
from planner.refusal import Refusal, show

_DEMO: Final = {"shown": False, "hidden": True}


def settings_file() -> Path:
    """Return where it is kept; it need not exist."""
    return user_folder().parent / "settings.toml"


def demo_hidden() -> bool | None:
    """Return whether the demo's are hidden; None where nobody said so yet.

    Raises
    ------
    Refusal
        If the file cannot be read, or says something else.

    """
    path = settings_file()
    if not path.exists():
        return None
    data = parse(path, read_text(path).text)
    unknown = next((name for name in data if name != "demo"), None)
    if unknown is not None:
        raise Refusal(f"{path}, field {show(unknown)}: is not known here; allowed is demo")
    said = data.get("demo")
    if said is not None and said not in _DEMO:
        raise Refusal(f"{path}, field demo: found {show(str(said))}; it must be shown or hidden")
    return None if said is None else _DEMO[said]


def hide_demo(palette: Palette, *, hidden: bool) -> Palette:
    """Hide the demo's or show them again, from now on; return the palette so.

    Raises
    ------
    Refusal
        If that cannot be kept.

    """
    word = next(one for one, means in _DEMO.items() if means == hidden)
    path = settings_file()
    atomic.make_folder(path.parent)
    text = f'# Whether the demo, which is invented, is offered: shown or hidden.\ndemo = "{word}"\n'
    atomic.write(path, text.encode())
    return replace(palette, mine=hidden)


def hide_for_first(palette: Palette) -> Palette:
    """Hide the demo's once she has a stone of her own, where nobody said yet whether they are to be shown.

    Raises
    ------
    Refusal
        As `hide_demo`.

    """
    hers = any(kind == "stone" for kind, _ in palette.own)
    return hide_demo(palette, hidden=True) if hers and demo_hidden() is None else palette


def as_set(palette: Palette) -> Palette:
    """Return a palette that offers what the person wants to be offered."""
    return replace(palette, mine=demo_hidden() or False)
