"""The file of offers read last, kept in the second process: one may have 50,000 rows."""

from datetime import date
from pathlib import Path
from typing import Any

from planner.catalogue.palette import Palette
from planner.job.model import Job
from planner.order.offers_file import OfferList, read_offers

_kept: dict[str, Any] = {}
"""What was read, with what it was read by."""


def offers_of(path: Path, job: Job, today: date, palette: Palette) -> OfferList:
    """Return a file of offers, read again only where it, the palette or the job's money changed.

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
    by = (path, stamp, job.currency, codes, today, palette.stones, palette.coatings)
    if _kept.get("by") != by:
        found = read_offers(path, palette, today=today, currency=job.currency, others=codes)
        _kept.update(by=by, found=found)
    kept: OfferList = _kept["found"]
    return kept
