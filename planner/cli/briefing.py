"""The answer to ``planner brief``: a client's page of each job, as files or as text."""

from collections.abc import Mapping, Sequence
from dataclasses import replace as replaced
from datetime import date
from pathlib import Path
from typing import Any

import click

from planner.brief.gather import Gathered, gather
from planner.brief.page import PHONE, Brief, brief, save_as, save_phone
from planner.brief.save import checked
from planner.catalogue.palette import Palette
from planner.cli.ask import GRADES, job_file
from planner.cli.at_hand import palette_of
from planner.cli.text import tell
from planner.job.today import today
from planner.refusal import Refusal
from planner.say.as_text import plain
from planner.say.document import Document
from planner.say.names import counted


def make(
    *, jobs: Sequence[Path], files: Sequence[Path], replace: bool, offers: Path | None, no_prices: bool,
    day: date | None, with_note: bool, grade: str, palettes: Path | None, as_data: bool,
    full: Sequence[int] = (), phone: Path | None = None, quote: bool = False,
) -> None:  # fmt: skip
    """Write the briefs of jobs, or print them."""
    targets = {job: [_target(job, file, several=len(jobs) > 1) for file in files] for job in jobs}
    tall = _tall(jobs, phone)
    _fit_together(quote=quote, no_prices=no_prices)
    _check({job: [*paths, *tall.get(job, ())] for job, paths in targets.items()}, replace=replace)
    read = [(job, job_file(job).job, palette_of(palettes, job)) for job in targets]
    day = today() if day is None else day
    made = []
    for job, choices, palette in read:
        told = gather(choices, palette, grade=GRADES[grade], where=str(job), full=full, folder=job.parent)
        if offers is not None:
            told = _priced(told, job, palette, offers, day, prices=not no_prices)
        one = brief(replaced(told, quote=quote), note=with_note)
        for path in targets[job]:
            save_as(one, path, replace=replace)
            if not as_data:
                click.echo(f"{plain(path)}: {counted(one.pages, 'page')}.")
        for path in tall.get(job, ()):
            save_phone(one, path, replace=replace)
            targets[job].append(path)
            if not as_data:
                click.echo(f"{plain(path)}: a picture {PHONE} pixels wide.")
        if one.no_room:
            click.echo(f"{plain(job)}: {one.no_room}", err=True)
        made.append((job, one))
    if as_data:
        tell(Document("", (), _data(made, targets)), as_data=True)
    elif not (files or tall):
        click.echo("\n".join(one.text() for _, one in made), nl=False)


def _priced(
    told: Gathered, path: Path, palette: Palette, offers: Path, today: date, *, prices: bool
) -> Gathered:
    """Return what was gathered with what its stones come to, or at least when they come."""
    from planner.brief.supply import cost_of
    from planner.order.heard import heard_file, read_heard
    from planner.order.offers_file import read_offers

    job = told.job
    found = read_offers(
        offers,
        palette,
        today=today,
        currency=job.currency,
        others=[code for code, _ in job.rates],
        heard=read_heard(heard_file()),
    )
    try:
        cost = cost_of(told, palette, found.offers, today)
    except Refusal as problem:
        raise Refusal(f"{path}, with the offers of {offers}: {problem}") from None
    return replaced(told, cost=cost if prices else replaced(cost, amount=None))


def _tall(jobs: Sequence[Path], phone: Path | None) -> dict[Path, list[Path]]:
    """Return where each job's picture for a message goes, if one is asked for."""
    if phone is None:
        return {}
    if phone.suffix.lower() != ".png":
        raise Refusal(f"{phone}: the picture for a message is a PNG; give a name that ends in .png")
    return {job: [_target(job, phone, several=len(jobs) > 1)] for job in jobs}


def _target(job: Path, file: Path, *, several: bool) -> Path:
    """Return where a job's brief goes; among several its name begins with the job's."""
    return file.with_name(f"{job.stem}-{file.name}") if several and file.name else file


def _fit_together(*, quote: bool, no_prices: bool) -> None:
    """Refuse to quote a price that is not to be told."""
    if quote and no_prices:
        raise Refusal(
            "a --quote tells what the stones cost, and --no-prices leaves that out: use one or the other"
        )


def _check(targets: Mapping[Path, Sequence[Path]], *, replace: bool) -> None:
    """Refuse a place where nothing can be written, before time goes into a reading."""
    taken: dict[Path, Path] = {}
    for job, paths in targets.items():
        for path in paths:
            checked(path, replace=replace)
            other = taken.setdefault(path.resolve(), job)
            if other != job or paths.count(path) > 1:
                raise Refusal(f"{path}: two briefs would be written to it; give each another name")


def _data(made: Sequence[tuple[Path, Brief]], targets: Mapping[Path, Sequence[Path]]) -> dict[str, Any]:
    return {
        "schema": "planner brief 1",
        "briefs": [
            {"job": str(job), "files": [str(path) for path in targets[job]], "pages": one.pages,
             "page": one.whole}
            for job, one in made
        ],
    }  # fmt: skip
