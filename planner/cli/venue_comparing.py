"""One pairing, or every line of a job, in several venues, for ``planner venue compare``."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.cli import as_json, telling, text
from planner.cli.ask import GRADES, asked_for, called, palette_of
from planner.job import read_job_file, unknown_names
from planner.reading.fit import Fit, fit
from planner.reading.phrase import listed, percent
from planner.reading.read import Reading, read
from planner.reading.sentence import cannot_tell, pairing
from planner.refusal import Refusal
from planner.say.asked import Asked

_LEAST, _MOST = 2, 4
_LABEL = 12


@dataclass(frozen=True, eq=False)
class Row:
    """One pairing in each of the venues."""

    asked: tuple[Asked, ...]
    readings: tuple[Reading, ...]
    fits: tuple[Fit, ...]

    @property
    def holds(self) -> bool:
        """Whether it surely enough does what is wished in all of them."""
        return all(
            judged.fits and cannot_tell(one) is None
            for one, judged in zip(self.readings, self.fits, strict=True)
        )


def show(
    *, venues: Sequence[str], job: Path | None, palettes: Path | None, as_data: bool, **given: Any
) -> None:
    """Print a pairing, or the lines of a job, in several venues."""
    palette = palette_of(palettes, job)
    rows = _of_job(palette, job, venues, given) if job else [_of_pairing(palette, venues, given)]
    places = [one.question.venue for one in rows[0].asked]
    if as_data:
        click.echo(as_json.dumps(_data(places, rows)))
    else:
        click.echo(_told(places, rows, whole_job=job is not None))


def _places(palette: Palette, names: Sequence[str]) -> list[Venue]:
    names = tuple(dict.fromkeys(names))
    if not _LEAST <= len(names) <= _MOST:
        raise click.UsageError(f"--venue: found {len(names)}; compare from {_LEAST} to {_MOST} venues")
    return [called("venue", name, palette.venues) for name in names]


def _of_pairing(palette: Palette, venues: Sequence[str], given: dict[str, Any]) -> Row:
    missing = [f"--{name}" for name in ("stone", "coating", "swatch") if given[name] is None]
    if missing:
        raise click.UsageError(f"{missing[0]}: is missing; a pairing needs it, or give a job with --job")
    return _row([asked_for(palette, venue=one.id, **given) for one in _places(palette, venues)])


def _of_job(palette: Palette, path: Path, venues: Sequence[str], given: dict[str, Any]) -> list[Row]:
    typed = [f"--{name}" for name in ("stone", "coating", "swatch", "cloth") if given[name] is not None]
    if typed:
        raise click.UsageError(f"{typed[0]} and --job: found both; a job has its own")
    file = read_job_file(path)
    if unknown := unknown_names(file.job, palette):
        raise Refusal(f"{file.path}, {unknown[0]}")
    if not file.job.lines:
        raise Refusal(f"{file.path}: found no [[line]]; a job needs one to be compared")
    job, places = file.job, _places(palette, venues or file.job.venues)
    return [
        _row([
            asked_for(
                palette, stone=line.stone, coating=line.coating, size=line.size, swatch=job.swatch,
                cloth=job.cloth, venue=place.id, distance=job.distance, cover=job.cover,
                tolerance=job.tolerance, wish=line.wish, grade=given["grade"],
            )
            for place in places
        ])
        for line in job.lines
    ]  # fmt: skip


def _row(asked: list[Asked]) -> Row:
    readings = tuple(read(one.question, GRADES[one.grade]) for one in asked)
    return Row(tuple(asked), readings, tuple(fit(one) for one in readings))


def _data(places: Sequence[Venue], rows: Sequence[Row]) -> dict[str, Any]:
    return {
        "schema": "planner venue compare 1",
        "venues": [as_json.named(one) for one in places],
        "pairings": [
            {
                "holds_in_all": row.holds,
                "in": [
                    {
                        "inputs": as_json.inputs(asked), **as_json.answer(reading),
                        "does": judged.fits if reading.question.swatch_told else None,
                        "lots_do": judged.lots if reading.question.swatch_told else None,
                        "basis": as_json.basis(asked.question),
                    }
                    for asked, reading, judged in zip(row.asked, row.readings, row.fits, strict=True)
                ],
            }
            for row in rows
        ],
    }  # fmt: skip


def _told(places: Sequence[Venue], rows: Sequence[Row], *, whole_job: bool) -> str:
    basis = {
        word for row in rows for one in row.asked for word in as_json.basis(one.question).values() if word
    }
    if not whole_job:
        parts = [_heading(rows[0]), _beside(places, rows[0]), _verdict(rows[0])]
    else:
        cells = [["line", *(one.name for one in places), "all"], *(_line(row) for row in rows)]
        kept = [f"{at}" for at, row in enumerate(rows, 1) if row.holds]
        listed = f"lines {', '.join(kept)}" if len(kept) > 1 else f"line {kept[0]}" if kept else "no line"
        parts = [
            text.heading(text.wrap(f"{len(rows)} lines in {len(places)} venues")),
            _table(cells, first=20),
            text.wrap(f"Holds in all of them: {listed}."),
        ]
    return "\n\n".join(part for part in [*parts, telling.invented(basis)] if part)


def _heading(row: Row) -> str:
    question = row.readings[0].question
    return text.heading(
        text.wrap(f"{pairing(row.readings[0])}, {question.size}, beside {row.asked[0].swatch.name}")
    )


def _beside(places: Sequence[Venue], row: Row) -> str:
    """Return the figures of one pairing, venues side by side."""
    readings, fits = row.readings, row.fits
    return _table([
        ["", *(one.name for one in places)],
        ["reads as", *(one.seen.name for one in readings)],
        ["swatch", *(one.swatch.name if one.question.swatch_told else "fluoresces" for one in readings)],
        ["drift", *(one.drift.words if one.question.swatch_told else "–" for one in readings)],
        ["ΔE00", *(f"{one.drift.dE00:.1f}" if one.question.swatch_told else "–" for one in readings)],
        ["hue", *(_hue(one) for one in readings)],
        ["flash", *(_flash(one) for one in readings)],
        ["lamp to eye", *("–" if one.lamp_eye is None else f"{one.lamp_eye:.0f}°" for one in readings)],
        ["lots", *(_lots(*one) for one in zip(readings, fits, strict=True))],
        ["holds", *(_does(*one, "yes", "no") for one in zip(readings, fits, strict=True))],
    ], first=_LABEL)  # fmt: skip


def _does(reading: Reading, judged: Fit, yes: str, no: str) -> str:
    """Return whether a pairing does what is wished, or that the swatch is known too badly to tell."""
    return "can't tell" if cannot_tell(reading) else yes if judged.fits else no


def _hue(reading: Reading) -> str:
    turned = reading.drift.dh if reading.question.swatch_told else None
    return "–" if turned is None else f"{turned:+.0f}°"


def _lots(reading: Reading, judged: Fit) -> str:
    return percent(judged.lots) if reading.question.swatch_told else "–"


def _flash(reading: Reading) -> str:
    if reading.flash is None:
        return "none"
    largest = sorted(reading.flash.by_luminance.items(), key=lambda one: -one[1])[:2]
    return ", ".join(f"{family} {percent(share)}" for family, share in largest if share > 0.0)


def _line(row: Row) -> list[str]:
    cells = [
        _does(reading, judged, "holds", "breaks")
        + (f", ΔE00 {reading.drift.dE00:.0f}" if reading.question.swatch_told else "")
        for reading, judged in zip(row.readings, row.fits, strict=True)
    ]
    return [
        f"{pairing(row.readings[0])}, {row.readings[0].question.size}",
        *cells,
        "yes" if row.holds else "no",
    ]


def _table(rows: Sequence[Sequence[str]], first: int) -> str:
    """Return cells in columns, wrapped within them; the first row stands over the others."""
    last = 4 if rows[0][-1] == "all" else 0
    wide = (text.columns() - first - last) // (len(rows[0]) - 1 - bool(last))
    widths = [first, *[wide] * (len(rows[0]) - 1 - bool(last)), *([last] if last else [])]
    lines = []
    for row in rows:
        cells = [textwrap.wrap(cell, width - 1) or [""] for cell, width in zip(row, widths, strict=True)]
        for at in range(max(map(len, cells))):
            parts = [cell[at] if at < len(cell) else "" for cell in cells]
            line = "".join(part.ljust(width) for part, width in zip(parts, widths, strict=True)).rstrip()
            lines.append(text.heading(line) if row is rows[0] else line)
    return "\n".join(lines)


def _verdict(row: Row) -> str:
    found = [_does(*one, "yes", "no") for one in zip(row.readings, row.fits, strict=True)]
    names = [one.question.venue.name for one in row.readings]
    broken, untold = (
        [name for name, said in zip(names, found, strict=True) if said == what]
        for what in ("no", "can't tell")
    )
    if not broken and not untold:
        return text.wrap("It does what is wished in all of these venues.")
    said = f"It does not do what is wished in these venues: {listed(broken)}." if broken else ""
    unsure = f"The swatch is known too badly to tell in these: {listed(untold)}." if untold else ""
    return text.wrap(f"{said} {unsure}".strip())
