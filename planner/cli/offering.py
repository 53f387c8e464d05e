"""Offers compared and checked, for ``planner offers``."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

import click

from planner.catalogue.coating import NONE
from planner.catalogue.errors import PaletteError
from planner.catalogue.errors import show as quoted
from planner.catalogue.money import check_currency, check_rate
from planner.catalogue.palette import Palette
from planner.cli import as_json, offers_data, offers_told
from planner.cli.ask import asked_for, called, palette_of
from planner.cover.count import needs
from planner.job import Job, JobFile, Line, read_job_file, unknown_names
from planner.order.bands import FILE_NAME, Band, confirmed, own_bands, read_bands
from planner.order.claims import Circumstances, by_kind, concerns
from planner.order.export import write_csv
from planner.order.landed import Alike, Rates, side_by_side
from planner.order.offer import Offer
from planner.order.offers_file import OfferList, read_offers
from planner.order.words import is_currency
from planner.order.worth import Worth, usual_cuts, worth
from planner.reading.concern import Concern
from planner.reading.fit import fit
from planner.reading.matter import QUICK
from planner.reading.question import Question
from planner.reading.read import read
from planner.reading.warn import lots_straddle

T = TypeVar("T")

MOST_WORTH = 3
"""Pairings whose material is compared when none is named."""


@dataclass(frozen=True, eq=False)
class Compared:
    """All that is to be said of a file of offers."""

    read: OfferList
    rates: Rates
    alike: tuple[Alike, ...]
    concerns: tuple[tuple[Offer, tuple[Concern, ...]], ...]
    """Offers about which something is to be asked."""
    worth: tuple[tuple[Question, tuple[Worth, ...], tuple[Worth, ...]], ...]
    """Pairings with their materials in one cut, and in the cut usual for each material."""
    notes: tuple[str, ...]


def today() -> date:
    """Return the day it is here."""
    return datetime.now().astimezone().date()


def show(
    *, offers: Path, job: Path | None, stone: str | None, coating: str | None, size: str | None,
    rates: tuple[str, ...], currency: str | None, bands: Path | None, top: int, table: Path | None,
    palettes: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Print offers side by side, and what to ask about them."""
    file = None if job is None else read_job_file(job)
    palette = palette_of(palettes, job)
    if file is not None and (unknown := unknown_names(file.job, palette)):
        raise PaletteError(f"{file.path}, {unknown[0]}")
    money = _rates(None if file is None else file.job, rates, currency)
    found = read_offers(offers, palette, today=today(), currency=money.currency, others=tuple(money.of))
    chosen = _chosen(found, palette, stone, coating, size)
    compared = compare(found, chosen, money, palette, file, bands, palettes)
    if table is not None:
        write_csv(table, offers_data.HEADINGS, offers_data.rows(compared.alike))
    if as_data:
        click.echo(as_json.dumps(offers_data.data(compared, table)))
    else:
        click.echo(offers_told.told(compared, top, table))


def compare(
    found: OfferList, chosen: Sequence[Offer], rates: Rates, palette: Palette, file: JobFile | None,
    bands: Path | None, palettes: Path | None = None,
) -> Compared:  # fmt: skip
    """Return the chosen offers of a list side by side, with what to ask about each."""
    alike, without = side_by_side(chosen, rates)
    if not alike:
        raise PaletteError(f"{found.path} {without[0]}; no offer is left")
    if file is not None:
        lines = [(line.stone, line.coating, line.size) for line in file.job.lines]
        alike = tuple(sorted(alike, key=lambda one: one.priced[0].offer.pairing not in lines))
    priced = [one.offer for group in alike for one in group.priced]
    usual, notes = _bands(bands or beside(palettes), rates)
    known, more = _circumstances(priced, rates, palette, file, usual)
    asked = ((one, concerns(one, known)) for one in sorted(priced, key=lambda one: one.row))
    return Compared(
        found, rates, alike, tuple((one, some) for one, some in asked if some),
        _worth(priced, rates, palette, file, single=len(alike) == 1),
        (*(f"{found.path} {one}." for one in without), *notes, *more),
    )  # fmt: skip


def beside(palettes: Path | None) -> Path | None:
    """Return the table of usual prices in a folder of palettes, if it is there."""
    path = None if palettes is None else palettes / FILE_NAME
    return path if path is not None and path.is_file() else None


def _rates(job: Job | None, typed: Iterable[str], currency: str | None) -> Rates:
    own = Rates("EUR", {}) if job is None else Rates.of_job(job)
    of: dict[str, Decimal] = dict(own.of)
    if currency is not None:
        if not is_currency(_refused("--currency", check_currency, currency)):
            raise click.BadParameter(
                f"found {quoted(currency)}; there is no such currency", param_hint="--currency"
            )
        # The job's rates are in its own currency, and say nothing in another.
        own, of = Rates(currency, {}), of if currency == own.currency else {}
    for one in typed:
        code, _, number = one.partition("=")
        of[_refused("--rate", check_currency, code)] = _refused("--rate", check_rate, number.strip())
    of.pop(own.currency, None)
    return Rates(own.currency, of)


def _refused(option: str, check: Callable[[str], T], value: str) -> T:
    try:
        return check(value)
    except ValueError as problem:
        raise click.BadParameter(str(problem), param_hint=option) from None


def _chosen(
    found: OfferList, palette: Palette, stone: str | None, coating: str | None, size: str | None
) -> tuple[Offer, ...]:
    """Return the offers that were asked for, all of them where nothing was named."""
    if stone is not None:
        called("stone", stone, palette.stones)
    if coating is not None and coating != NONE:
        called("coating", coating, palette.coatings, also=(NONE,))
    wanted = {"stone_id": stone, "coating_id": coating, "size": size}
    asked = {name: value for name, value in wanted.items() if value is not None}
    chosen = tuple(
        one for one in found.offers if all(getattr(one, name) == value for name, value in asked.items())
    )
    if not chosen:
        said = " ".join(asked.values())
        raise PaletteError(
            f"{found.path}: found no offer of {said} among {len(found.offers):,}; leave out --stone, "
            "--coating or --size to see them all"
        )
    return chosen


def _bands(path: Path | None, rates: Rates) -> tuple[tuple[Band, ...], tuple[str, ...]]:
    """Return the bands that count, and what is to be said of the others."""
    if path is None and not own_bands().exists():
        note = (
            f"Prices were not held against usual ones: keep a table of those in {own_bands()}, or name one "
            "with --bands."
        )
        return (), (note,)
    good, notes = confirmed(read_bands(own_bands() if path is None else path), today())
    usable = tuple(one for one in good if one.currency == rates.currency or one.currency in rates.of)
    if len(usable) < len(good):
        codes = ", ".join(sorted({one.currency for one in good} - {one.currency for one in usable}))
        notes = (*notes, f"Bands in {codes} are off, since no rate is given for it.")
    return usable, notes


def _circumstances(
    offers: Sequence[Offer], rates: Rates, palette: Palette, file: JobFile | None, bands: Sequence[Band]
) -> tuple[Circumstances, tuple[str, ...]]:
    """Return what offers are held against, and what is to be said of it."""
    if file is None:
        return Circumstances(rates, today(), by_kind(bands), palette.stones), (
            "Dates, counts and lots were not looked at: name the job with --job.",
        )
    job = file.job
    needed, field = (job.event, "event") if job.stones_by is None else (job.stones_by, "stones_by")
    notes = []
    if needed is not None and needed < today():
        notes.append(
            f"{file.path}, field {field}: found {needed}, which is past; nothing is said of lateness "
            "until it is mended."
        )
    wanted = {(one.stone, one.coating, one.size): one.count for one in needs(job, palette)}
    doubtful = {one.pairing for one in offers if not one.returns}
    return Circumstances(
        rates, today(), by_kind(bands), palette.stones, needed, wanted, _straddling(file, palette, doubtful)
    ), tuple(notes)


def _straddling(
    file: JobFile, palette: Palette, doubtful: Collection[tuple[str, str, str] | None]
) -> frozenset[tuple[str, str, str]]:
    """Return those of the job's pairings whose lots disagree, of the ones that could not go back."""
    found = set()
    for line in file.job.lines:
        pairing = line.stone, line.coating, line.size
        if pairing in doubtful and pairing not in found:
            reading = read(_question(file, line, palette), QUICK)
            if lots_straddle(reading, fit(reading)) is not None:
                found.add(pairing)
    return frozenset(found)


def _question(file: JobFile, line: Line, palette: Palette) -> Question:
    job = file.job
    try:
        return asked_for(
            palette, stone=line.stone, coating=line.coating, size=line.size, swatch=job.swatch,
            cloth=job.cloth, venue=job.venues[0], distance=job.distance, cover=job.cover,
            tolerance=job.tolerance, wish=line.wish, grade="quick",
        ).question  # fmt: skip
    except click.BadParameter as problem:
        field = str(problem.param_hint).removeprefix("--")
        raise PaletteError(f"{file.path}, field {field}: {problem.message}") from None


def _worth(
    offers: Sequence[Offer], rates: Rates, palette: Palette, file: JobFile | None, *, single: bool
) -> tuple[tuple[Question, tuple[Worth, ...], tuple[Worth, ...]], ...]:
    """Return what materials buy, for the job's pairings that are on offer in several of them."""
    if file is None:
        return ()
    materials: dict[tuple[str, str, str], set[str | None]] = {}
    for one in offers:
        if one.pairing is not None:
            materials.setdefault(one.pairing, set()).add(one.material)
    found: list[tuple[Question, tuple[Worth, ...], tuple[Worth, ...]]] = []
    seen: set[tuple[str, str, str]] = set()
    for line in file.job.lines:
        pairing = line.stone, line.coating, line.size
        several = len(materials.get(pairing, set()) - {None}) > 1
        if pairing in seen or not (several or (single and pairing in materials)) or len(found) == MOST_WORTH:
            continue
        seen.add(pairing)
        question = _question(file, line, palette)
        if not question.stone.opaque:
            usual = worth(question, offers, rates, usual_cuts(palette))
            found.append((question, worth(question, offers, rates), usual))
    return tuple(found)
