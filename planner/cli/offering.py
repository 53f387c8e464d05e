"""Offers compared and checked, for ``planner offers``."""

import shlex
from collections.abc import Callable, Iterable
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

import click

from planner.catalogue.coating import NONE
from planner.catalogue.money import check_currency, check_rate
from planner.catalogue.palette import Palette
from planner.cli.ask import called, coating_called, job_file
from planner.cli.at_hand import palette_of
from planner.cli.text import tell
from planner.job import Job, unknown_names
from planner.job.today import today
from planner.order.compare import Context, beside, compare
from planner.order.export import write_csv
from planner.order.heard import heard_file, read_heard, remember
from planner.order.landed import Rates
from planner.order.offer import Offer
from planner.order.offers_file import OfferList, read_offers
from planner.refusal import Refusal
from planner.say.document import Command, Section, Sentence
from planner.say.offers import offers_document
from planner.say.offers_data import HEADINGS, rows

T = TypeVar("T")


def show(
    *, offers: Path, job: Path | None, stone: str | None, coating: str | None, size: str | None,
    rates: tuple[str, ...], currency: str | None, bands: Path | None, top: int, table: Path | None,
    confirm: bool, palettes: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Print offers side by side, and what to ask about them."""
    file = None if job is None else job_file(job)
    palette = palette_of(palettes, job)
    if file is not None and (unknown := unknown_names(file.job, palette)):
        raise Refusal(f"{file.path}, {unknown[0]}")
    money = _rates(None if file is None else file.job, rates, currency)
    table_of_words = heard_file(palettes)

    def read() -> OfferList:
        return read_offers(
            offers, palette, today=today(), currency=money.currency, others=tuple(money.of),
            heard=read_heard(table_of_words),
        )  # fmt: skip

    found = read()
    if confirm and found.guesses:
        remember(table_of_words, found.guesses)
        found = read()
    chosen = _chosen(found, palette, stone, coating, size)
    known = Context(
        palette, money, today(), None if file is None else file.job, "" if file is None else str(file.path),
        bands or beside(palettes),
    )  # fmt: skip
    compared = compare(found, chosen, known)
    if table is not None:
        write_csv(table, HEADINGS, rows(compared.alike))
    again = Command(f"offers {shlex.quote(str(offers))}", {"--confirm": True, "--palettes": palettes})
    ask = Section("", (
        Sentence("Nothing is ordered under a guessed name until you confirm it. If all of them are right "
                 f"(they are then remembered in {table_of_words}, where you can correct them):"),
        again,
    ))  # fmt: skip
    tell(offers_document(compared, palette, top, table, ask), as_data=as_data)


def _rates(job: Job | None, typed: Iterable[str], currency: str | None) -> Rates:
    own = Rates("EUR", {}) if job is None else Rates.of_job(job)
    of: dict[str, Decimal] = dict(own.of)
    if currency is not None:
        _refused("--currency", check_currency, currency)
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
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint=option) from None


def _chosen(
    found: OfferList, palette: Palette, stone: str | None, coating: str | None, size: str | None
) -> tuple[Offer, ...]:
    """Return the offers that were asked for, all of them where nothing was named."""
    if stone is not None:
        stone = called("stone", stone, palette.stones).id
    if coating is not None:
        film = coating_called(coating, palette)
        coating = NONE if film is None else film.id
    wanted = {"stone_id": stone, "coating_id": coating, "size": size}
    asked = {name: value for name, value in wanted.items() if value is not None}
    chosen = tuple(
        one for one in found.offers if all(getattr(one, name) == value for name, value in asked.items())
    )
    if not chosen:
        said = " ".join(asked.values())
        raise Refusal(
            f"{found.path}: found no offer of {said} among {len(found.offers):,}; leave out --stone, "
            "--coating or --size to see them all"
        )
    return chosen
