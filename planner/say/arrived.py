"""What came of an order, told: predicted beside seen, and what follows for a job."""

import dataclasses
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from planner.catalogue.coating import Coating
from planner.catalogue.fields import Entry
from planner.catalogue.pairing import pairing_name
from planner.catalogue.stone import Stone
from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.arrival import Arrived
from planner.fitting.record import Remembered
from planner.order.parcel import Follows, Parcel
from planner.reading.instead import Instead
from planner.reading.phrase import changed, than
from planner.say.document import Command, Document, Item, Part, Patch, Patches, Section, Sentence, document
from planner.say.document import section as section_of
from planner.say.figures import seen_data
from planner.say.question import named


def arrived_document(
    found: Arrived, record: Remembered, *, logs: Sequence[Path], known: bool, follows: Parcel | None,
    saved: tuple[Entry, ...] | None, where: str, job: Path | None,
) -> Document:  # fmt: skip
    """Return predicted beside seen.

    Parameters
    ----------
    found, record
        What came, and how far off such predictions were so far.
    logs
        Where it is logged.
    known
        Whether it had been logged before, and so counts once.
    follows
        What follows for the job, if one is named.
    saved, where
        The lot in hand as it is kept, and a sentence on where.
    job
        The job's file.

    """
    reading, apart = found.reading, found.apart
    seen = to_hex(lab_to_srgb(found.lab)[0])
    verdict = "as expected" if found.expected else "further off than nine batches in ten"
    names = " and ".join(str(one) for one in logs)
    logged = f"Already logged in {names}: it counts once." if known else f"Logged in {names}."
    return document(
        "",
        [
            Patches((Patch("predicted", reading.seen.hex), Patch("seen", seen))),
            Sentence(
                f"Predicted: {reading.seen.name} ({reading.seen.hex}). Seen: {name_of(found.lab)} ({seen}). "
                f"It is {changed(apart.words)}: {verdict} "
                f"(ΔE00 {apart.dE00:.0f} of {found.within:.0f} at most)."
            ),
            Sentence(found.remark) if found.remark else None,
            None if record.track is None else Sentence(record.track.said),
            section_of("", [Sentence(f"Note: {one}") for one in record.notes]),
            None if follows is None else Section("What follows", tuple(_follows(follows, found, job))),
            Sentence(f"{logged} planner arrived --undo{_of(job)} removes it again.") if logs else None,
            _as_a_stone(found, saved),
            Sentence(where) if where else None,
        ],
        _data(found, record, logs, saved, follows),
    )  # fmt: skip


def _as_a_stone(found: Arrived, saved: tuple[Entry, ...] | None) -> Sentence | None:
    """Return what is to be known where a coated lot could be kept only as a stone of the colour seen."""
    if not saved or not isinstance(saved[0], Stone) or found.reading.question.coating is None:
        return None
    return Sentence(
        "No film gives that colour, so the lot is kept as a stone as it lies before you, coating and all: "
        "choose it uncoated. Its sparkle is then told as that of bare glass."
    )


def _of(job: Path | None) -> str:
    return "" if job is None else f" --job {job}"


def _follows(parcel: Parcel, found: Arrived, job: Path | None) -> Iterator[Part]:
    if not parcel.lines:
        question = found.reading.question
        yield Sentence(f"No line of the job uses {pairing_name(question.stone, question.coating)}.")
        return
    for one in parcel.lines:
        yield _line(one)
    if parcel.keep:
        yield Sentence("Keep it.")
        return
    yield Sentence(
        "Send it back, or keep it for another costume; either way the lines that fail need another pairing."
    )
    for seller, days in parcel.back:
        taken = f"you have {days} days to send it back" if days else "no returns"
        yield Sentence(f"{seller}: {taken}.")
    if not parcel.back:
        yield Sentence("No offer of the job says whether it can go back: ask the seller today.")
    if job is not None:
        yield Command(f"open {job}")


def _line(one: Follows) -> Item:
    verdict = one.assessed.verdict
    said = f"Line {one.number}: {verdict.outcome}. {verdict.text}."
    if one.holds:
        return Item(said)
    swaps = [_called(other) for other in one.swaps]
    if swaps:
        return Item(said, under=(Sentence(f"Swap to {swaps[0]}{_or(swaps[1:])}."),))
    near = "" if one.nearest is None else (
        f" The nearest is {_called(one.nearest)}: {than(one.nearest.reading.drift.words, 'the swatch')}."
    )  # fmt: skip
    return Item(said, under=(Sentence(f"Nothing that you have does what is wished here.{near}"),))


def _called(other: Instead) -> str:
    question = other.reading.question
    return f"{pairing_name(question.stone, question.coating)}, {question.size}"


def _or(rest: Sequence[str]) -> str:
    return f"; or {', '.join(rest)}" if rest else ""


def _data(
    found: Arrived, record: Remembered, logs: Sequence[Path], saved: tuple[Entry, ...] | None,
    follows: Parcel | None,
) -> dict[str, Any]:  # fmt: skip
    question = found.reading.question
    return {
        "schema": "planner arrived 1",
        "stone": named(question.stone),
        "coating": named(question.coating),
        "size": question.size,
        "venue": named(question.venue),
        "predicted": seen_data(found.reading.seen),
        "seen": {"typed": found.seen.text, "source": found.seen.source, "lab": list(found.lab),
                 "name": name_of(found.lab), "error_dE00": found.seen.error},
        "apart": dataclasses.asdict(found.apart),
        "within_dE00": found.within,
        "expected": found.expected,
        "track_record": None if record.track is None else dataclasses.asdict(record.track),
        "notes": list(record.notes),
        "logs": [str(one) for one in logs],
        "saved": None if saved is None else [one.id for one in saved],
        "follows": None if follows is None else {
            "keep": follows.keep,
            "lines": [
                {"line": one.number, "holds": one.holds, "verdict": one.assessed.verdict.text,
                 "swap_to": [_pairing(other.reading.question) for other in one.swaps]}
                for one in follows.lines
            ],
            "send_back_days": dict(follows.back),
        },
    }  # fmt: skip


def _pairing(question: Any) -> dict[str, str]:
    coating: Coating | None = question.coating
    stone: Stone = question.stone
    return {"stone": stone.id, "coating": coating.id if coating else "none", "size": question.size}
