"""The file of offers read last, kept in the second process: one may have 50,000 rows."""

from datetime import date
from pathlib import Path
from typing import Any

from planner.catalogue.palette import Palette
from planner.job.model import Job
from planner.order.heard import heard_file, read_heard
from planner.order.offers_file import OfferList, read_offers

_kept: dict[str, Any] = {}
"""What was read, with what it was read by."""


def offers_of(path: Path, job: Job, today: date, palette: Palette, words: Path | None = None) -> OfferList:
    """Return a file of offers, read again only where it, the palette or the job's money changed.

    `words` is the table of sellers' words that were confirmed; the person's own when not given.

    Raises
    ------
    Refusal
        If it cannot be read.

    """
    try:
        stat = path.stat()
        stamp: tuple[int, int] | None = (stat.st_mtime_ns, stat.st_size)
    except OSError:
        stamp = None
    codes = tuple(code for code, _ in job.rates)
    heard = read_heard(words or heard_file())
    by = (path, stamp, tuple(heard.of.items()), job.currency, codes, today, palette.stones, palette.coatings)
    if _kept.get("by") != by:
        found = read_offers(path, palette, today=today, currency=job.currency, others=codes, heard=heard)
        _kept.update(by=by, found=found)
    kept: OfferList = _kept["found"]
    return kept
