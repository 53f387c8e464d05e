"""What came of an order, beside what was predicted: ``planner arrived``."""

import dataclasses
from pathlib import Path
from typing import Any

import click

from planner.catalogue.coating import NONE
from planner.catalogue.errors import show as quoted
from planner.catalogue.fields import Entry
from planner.cli import as_json, telling, text
from planner.cli.ask import called, coating_called, palette_of
from planner.cli.guard import plain
from planner.cli.keeping import along, check, keep, kept
from planner.cli.seeing import Looked, typed_or_photographed
from planner.cli.stone_photos import Photos
from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.arrival import Arrived, compare, lot_in_hand
from planner.fitting.record import (
    Remembered,
    Track,
    append,
    job_log,
    line_of,
    own_log,
    read_log,
    remembered,
)
from planner.fitting.sight import Source
from planner.reading.question import can_carry
from planner.refusal import Refusal
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area


def show(
    *, stone: str, coating: str, size: str, seen: str | None, source: Source, on: tuple[str, ...],
    photos: tuple[Path, ...], white: tuple[Area, ...], grey: float | None, light: Light, venue: str | None,
    job: Path | None, log: bool, save: str | None, to: Path | None, name: str | None, palettes: Path | None,
    as_data: bool,
) -> None:  # fmt: skip
    """Print predicted beside seen, log both, and save the lot in hand if asked."""
    if job is not None and not job.exists():
        raise Refusal(f"--job: found {quoted(str(job))}; there is no such file")
    to = check(save, name, to, "stone" if coating == NONE else "coating", palettes)
    palette = palette_of(palettes, job)
    base = called("stone", stone, palette.stones)
    film = coating_called(coating, palette)
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
    if save is not None and to is not None:
        lot = (_lot(found, save, name or save, source),)
        beside = along(lot, to, palette)
        saved = keep(lot, to, palette, with_them=beside)
        where = kept(saved, to, palettes, beside)
    line = line_of(found)
    for one in logs:
        append(one, line)
    record = remembered(base, film)
    if as_data:
        click.echo(as_json.dumps(_data(found, record, logs, saved, looked)))
    else:
        click.echo("\n\n".join(one for one in (looked.told, _told(found, record, logs, where)) if one))


def track_told(record: Track | None) -> str:
    """Return how far predictions of a kind were off, or nothing where there was none."""
    return "" if record is None else text.wrap(record.said)


def track_data(record: Track | None) -> dict[str, Any] | None:
    """Return the record for programs."""
    return None if record is None else dataclasses.asdict(record)


def _lot(found: Arrived, entry_id: str, name: str, source: Source) -> Entry:
    try:
        return lot_in_hand(found, entry_id, name, "measured" if source == "measured" else "estimated")
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--save") from None


def _told(found: Arrived, record: Remembered, logs: list[Path], where: str) -> str:
    reading, apart = found.reading, found.apart
    hex_seen = _hex(found)
    patches = text.patch(reading.seen.hex) + text.patch(hex_seen)
    verdict = "as expected" if found.expected else "further off than nine lots in ten"
    lines = [
        f"{patches} predicted and seen\n" if patches else "",
        text.wrap(
            f"Predicted: {reading.seen.name} ({reading.seen.hex}). Seen: {name_of(found.lab)} ({hex_seen}). "
            f"It is {apart.words}: ΔE00 {apart.dE00:.0f}, {verdict} (within {found.within:.0f} was told)."
        ),
    ]
    parts = ["".join(lines), track_told(record.track), telling.notes(record.notes)]
    if logs:
        parts.append(text.wrap(f"Logged in {' and '.join(plain(one) for one in logs)}."))
    if where:
        parts.append(where)
    return "\n\n".join(part for part in (*parts, telling.invented(_bases(found))) if part)


def _bases(found: Arrived) -> list[str]:
    question = found.reading.question
    return [one.basis for one in (question.stone, question.coating, question.cut) if one is not None]


def _hex(found: Arrived) -> str:
    """Return what was seen as a screen shows it."""
    return to_hex(lab_to_srgb(found.lab)[0])


def _data(
    found: Arrived, record: Remembered, logs: list[Path], saved: tuple[Entry, ...] | None, looked: Looked
) -> dict[str, Any]:
    question = found.reading.question
    return {
        "schema": "planner arrived 1",
        "stone": as_json.named(question.stone),
        "coating": as_json.named(question.coating),
        "size": question.size,
        "venue": as_json.named(question.venue),
        "predicted": as_json.seen(found.reading.seen),
        "seen": {"typed": found.seen.text, "source": found.seen.source, "lab": list(found.lab),
                 "name": name_of(found.lab), "error_dE00": found.seen.error},
        "apart": dataclasses.asdict(found.apart),
        "within_dE00": found.within,
        "expected": found.expected,
        "track_record": track_data(record.track),
        **looked.data,
        "notes": [*looked.data.get("notes", ()), *record.notes],
        "logs": [str(one) for one in logs],
        "saved": None if saved is None else [one.id for one in saved],
    }  # fmt: skip
