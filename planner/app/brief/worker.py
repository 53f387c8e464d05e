"""A brief made behind its screen, in the second process, which keeps what took long."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, Final

from PIL import Image

from planner.app.offers_cache import offers_of
from planner.app.second_process import unpacked
from planner.brief.gather import Cost, Gathered, gather
from planner.brief.page import Brief, brief, drawings
from planner.brief.supply import cost_of
from planner.catalogue.palette import Palette
from planner.job.model import Job
from planner.order.stock import read_stock
from planner.reading.matter import FINE, Grade
from planner.refusal import Refusal

PPI: Final = 40.0
"""Pixels to the inch of the small picture of a page."""


@dataclass(frozen=True, eq=False)
class Wish:
    """A brief that is wanted."""

    serial: int
    palette: dict[str, Any]
    """As `planner.app.second_process.parcel` has it."""
    job: Job
    full: tuple[int, ...]
    """Numbers of the lines that are shown in full, from 1."""
    note: bool
    """Whether the job's note is printed."""
    prices: bool
    """Whether the client is to see what the stones come to."""
    offers: Path | None
    """The job's offers; without them nothing is known of prices."""
    stock: Path | None
    today: date
    grade: Grade = FINE
    folder: Path | None = None
    """Of the job's file, in which an outline of the maker's own is found."""
    quote: bool = False
    """Whether a quote is printed."""


@dataclass(frozen=True, eq=False)
class Made:
    """A brief, and how its pages look."""

    brief: Brief
    pages: tuple[Image.Image, ...]
    priced: bool
    """Whether it is known what the stones come to."""
    complaint: str = ""
    """Why that is not known, although there are offers."""


_kept: dict[str, tuple[Hashable, Any]] = {}
"""What was gathered last, and drawn last, with what it was made from."""


def made(wish: Wish) -> Made:
    """Return the brief of a wish.

    Raises
    ------
    Refusal
        One sentence, if there is none.

    """
    palette = unpacked(wish.palette)
    told = replace(_gathered(wish, palette), job=wish.job)
    cost, complaint = _cost(wish, told, palette)
    drawn = _once("drawn", _reading_key(wish), lambda: drawings(told))
    page = brief(replace(told, cost=cost, quote=wish.quote), note=wish.note, drawn=drawn)
    return Made(page, page.images(PPI), cost is not None, complaint)


def _gathered(wish: Wish, palette: Palette) -> Gathered:
    def work() -> Gathered:
        return gather(wish.job, palette, grade=wish.grade, full=wish.full, folder=wish.folder)

    return _once("told", _reading_key(wish), work)


def _reading_key(wish: Wish) -> Hashable:
    """Return what changes only where the pairings have to be read anew: paper and names are not of it."""
    plain = wish.job.model_copy(
        update={
            "title": "",
            "note": "",
            "client": "",
            "maker": "",
            "paper": "A4",
            "event": None,
            "quote": None,
            "hourly_rate": None,
        }
    )
    entries = {kind: {name: one.model_dump_json() for name, one in known.items()}
               for kind, known in wish.palette.items() if isinstance(known, dict)}  # fmt: skip
    whose = sorted(wish.palette["own"]), wish.palette["mine"]
    return plain.model_dump_json(), str(entries), str(whose), wish.full, wish.grade


def _once(name: str, key: Hashable, work: Callable[[], Any]) -> Any:
    known = _kept.get(name)
    if known is None or known[0] != key:
        known = _kept[name] = (key, work())
    return known[1]


def _cost(wish: Wish, told: Gathered, palette: Palette) -> tuple[Cost | None, str]:
    """Return what the stones come to, as far as it is to be shown, or why that is not known."""
    job = wish.job
    if wish.offers is None:
        return None, ""
    try:
        found = offers_of(wish.offers, job, wish.today, palette)
        lots = () if wish.stock is None else read_stock(wish.stock, palette).lots
        cost = cost_of(told, palette, found.offers, wish.today, lots)
    except Refusal as problem:
        return None, str(problem)
    return cost if wish.prices else replace(cost, amount=None), ""
