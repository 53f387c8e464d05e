"""A person's own entries kept from the command line."""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import click

from planner.catalogue import own
from planner.catalogue.coating import NONE
from planner.catalogue.find import id_meant
from planner.catalogue.settings import hide_for_first
from planner.catalogue.sizes import sizes_said
from planner.cli.at_hand import palette_of
from planner.cli.keeping import REPLACE
from planner.cli.text import tell
from planner.fitting.own_cut import own_cut
from planner.fitting.own_stone import own_stone
from planner.refusal import Refusal
from planner.say.own import step_told

T = TypeVar("T")

_HIDDEN = (
    "The demo's stones and coatings are hidden from now on: planner list stones --all lists them, and "
    "planner demo --show shows them again everywhere."
)


def add_stone(
    *, name: str, colour: str, sizes: str, seen_size: str | None, material: str, cut: str, foil: str,
    over: bool, palettes: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Keep a stone made from words."""
    palette = palette_of(palettes)
    shape = palette.cuts[id_meant("cut", cut, palette.cuts)]
    offered = _refusing("--sizes", lambda: sizes_said(sizes))
    seen = None if seen_size is None else _refusing("--seen", lambda: sizes_said(seen_size)[0])
    entry_id = own.id_for(palette, "stone", name, over=over, instead=REPLACE)
    made = _refusing("--colour" if colour else "NAME", lambda: own_stone(
        name, offered, shape, colour=colour, seen_size=seen, material=material, foil=foil, entry_id=entry_id,
    ))  # fmt: skip
    step = own.add(made.stone, palette, palettes=palettes, over=over)
    hidden = palettes is None and hide_for_first(own.after(palette, step.before, step.after)).mine
    remarks = (*made.remarks, *((_HIDDEN,) if hidden and not palette.mine else ()))
    tell(step_told("add", step, remarks, made.heard), as_data=as_data)


def add_cut(
    *, name: str, facets: str, table: float | None, height: float | None, finish: str, over: bool,
    palettes: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Keep a cut made from what was counted and measured."""
    palette = palette_of(palettes)
    entry_id = own.id_for(palette, "cut", name, over=over, instead=REPLACE)
    entry = own_cut(
        name, facets, table=None if table is None else table / 100.0,
        height=None if height is None else height / 100.0, finish=finish, entry_id=entry_id,
    )  # fmt: skip
    tell(step_told("add", own.add(entry, palette, palettes=palettes, over=over)), as_data=as_data)


def add_coating(*, name: str, like: str, over: bool, palettes: Path | None, as_data: bool) -> None:
    """Keep a coating that begins as another one."""
    palette = palette_of(palettes)
    known = palette.coatings
    found = id_meant("coating", like, known)
    if found == NONE:
        raise Refusal("--like: found uncoated, which needs no entry; name a coating (planner list coatings)")
    entry = own.named(
        known[found], name, own.id_for(palette, "coating", name, over=over, instead=REPLACE)
    )  # fmt: skip
    step = own.add(entry, palette, palettes=palettes, over=over)
    remark = f"It begins as {known[found].name}; a look at a sample narrows it (planner coating look)."
    tell(step_told("add", step, (remark,)), as_data=as_data)


def copy(kind: str, which: str, name: str, palettes: Path | None, *, as_data: bool) -> None:
    """Copy an entry under another name."""
    palette = palette_of(palettes)
    step = own.copy(palette, kind, id_meant(kind, which, palette.entries(kind)), name, palettes=palettes)
    tell(step_told("copy", step), as_data=as_data)


def rename(kind: str, which: str, name: str, palettes: Path | None, *, as_data: bool) -> None:
    """Give an entry another name."""
    palette = palette_of(palettes)
    step = own.rename(palette, kind, id_meant(kind, which, palette.entries(kind)), name)
    tell(step_told("rename", step), as_data=as_data)


def remove(kind: str, which: str, palettes: Path | None, *, as_data: bool) -> None:
    """Remove an entry."""
    palette = palette_of(palettes)
    step = own.remove(palette, kind, id_meant(kind, which, palette.entries(kind)))
    tell(step_told("remove", step), as_data=as_data)


def _refusing(option: str, made: Callable[[], T]) -> T:
    """Return what is made of an option, or refuse that option."""
    try:
        return made()
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint=option) from None
