"""What came of an order, beside what was predicted: ``planner arrived``."""

from dataclasses import asdict
from pathlib import Path

import click

from planner.catalogue.fields import Entry
from planner.catalogue.own import named
from planner.catalogue.pairing import name_in
from planner.catalogue.palette import Palette
from planner.catalogue.palette_file import kind_of
from planner.cli.ask import called, coating_called, job_file
from planner.cli.at_hand import palette_of
from planner.cli.keeping import Keeping, along, keeping
from planner.cli.seeing import Photos, typed_or_photographed
from planner.cli.text import tell
from planner.fitting.arrival import Arrived, compare, lot_in_hand
from planner.fitting.record import append, job_log, line_of, own_log, read_log, remembered
from planner.fitting.record import take_back as forget
from planner.fitting.sight import Source
from planner.job.companions import companion
from planner.job.today import today
from planner.order.heard import heard_file, read_heard
from planner.order.offer import Offer
from planner.order.offers_file import read_offers
from planner.order.parcel import Parcel, parcel
from planner.reading.question import can_carry
from planner.refusal import Refusal
from planner.refusal import show as quoted
from planner.say.arrived import arrived_document
from planner.say.document import Document, Sentence, document
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area


def show(
    *, stone: str, coating: str, size: str, seen: str | None, source: Source, on: tuple[str, ...],
    photos: tuple[Path, ...], white: tuple[Area, ...], grey: float | None, light: Light, venue: str | None,
    job: Path | None, log: bool, save: str | None, over: bool, to: Path | None, palettes: Path | None,
    as_data: bool,
) -> None:  # fmt: skip
    """Print predicted beside seen, log both, and save the lot in hand if asked."""
    if job is not None and not job.exists():
        raise Refusal(f"--job: found {quoted(str(job))}; there is no such file")
    kept = keeping(save, to, over=over, palettes=palettes)
    palette = palette_of(palettes, job)
    base = called("stone", stone, palette.stones)
    film = coating_called(coating, palette)
    if kept is not None:
        kept.id("coating" if film else "stone", palette)  # a name that is taken is told before all else
    place = None if venue is None else called("venue", venue, palette.venues)
    if not can_carry(base, film):
        raise click.BadParameter(
            f"found {quoted(coating)}, which lies under a foil, and {base.name} has none",
            param_hint="--coating",
        )
    looked = typed_or_photographed(seen, source, Photos(photos, white, grey, light), on, "--seen", stone)
    try:
        found = compare(base, palette.cuts[base.cut], film, size, looked.sight, place)
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--seen") from None
    logs = [own_log(), *([] if job is None else [job_log(job)])] if log else []
    for one in logs:
        read_log(one)  # a damaged log is told before anything is written
    saved, where = None, ""
    if kept is not None:
        saved = (_lot(found, kept, palette, source),)
        where = kept.keep(saved, with_them=along(saved, kept.file(kind_of(saved[0])), palette))
    follows = None if job is None else _follows(found, job, palette)
    line = line_of(found)
    new = [append(one, line) for one in logs]
    told = arrived_document(
        found, remembered(base, film), logs=logs, known=not any(new),
        follows=follows, saved=saved, where=where, job=job,
    )  # fmt: skip
    notes = [*looked.data.get("notes", ()), *told.data["notes"]]
    parts = (*looked.parts, *told.parts)
    tell(Document("", parts, {**told.data, **looked.data, "notes": notes}), as_data=as_data)


def _follows(found: Arrived, job: Path, palette: Palette) -> Parcel:
    """Return what follows for a job, with what its offers say of sending back."""
    file = job_file(job)
    place = companion(file.job.offers, job)
    offers: tuple[Offer, ...] = ()
    if place is not None and place.exists():
        offers = tuple(read_offers(
            place, palette, today=today(), currency=file.job.currency,
            others=[code for code, _ in file.job.rates], heard=read_heard(heard_file()),
        ).offers)  # fmt: skip
    lot = lot_in_hand(found, "lot-in-hand", "The lot in hand", "estimated")
    return parcel(file.job, palette, found.reading.question, lot, offers)


def _lot(found: Arrived, kept: Keeping, palette: Palette, source: Source) -> Entry:
    """Return the lot in hand as an entry, whose kind shows only now: a stone where no film is like it."""
    try:
        lot = lot_in_hand(
            found, "lot-in-hand", kept.name, "measured" if source == "measured" else "estimated"
        )
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--save") from None
    return named(lot, kept.name, kept.id(kind_of(lot), palette))


def take_back(job: Path | None, *, as_data: bool) -> None:
    """Take the last arrival out of the logs again."""
    logs = [own_log(), *([] if job is None else [job_log(job)])]
    line, *_ = [forget(one) for one in logs]
    name = name_in(palette_of(None, job), line.stone, line.coating, line.size)
    said = f"Taken back: {name}, of {line.date}."
    data = {"schema": "planner arrived 1", "taken_back": asdict(line)}
    tell(document("", [Sentence(said)], data), as_data=as_data)
