"""Every line of a job: what it reads as, what is warned of, what was accepted, and what stands."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from planner.assess import Assessment, LineAssessed
from planner.catalogue.errors import suggest
from planner.catalogue.pairing import pairing_name
from planner.catalogue.palette import Palette
from planner.fixing.caution import CODES as CAUTIONS
from planner.fixing.caution import FINAL
from planner.job.model import Acceptance
from planner.reading.concern import CODES
from planner.reading.named import Asked, asked_in
from planner.reading.origin import got_as, kinds
from planner.say.document import Document, Item, Literally, Part, Section, Sentence, document, section
from planner.say.figures import bases, reading_data
from planner.say.names import counted, day, numbered
from planner.say.question import asked_data, next_steps, read_again
from planner.say.reading import invented, not_offered, notes_parts, track, track_data, words
from planner.say.warned import concern_parts, concerns_data, guarded_data, wearer_section

_HELD = "\N{NO-BREAK SPACE}"
_WISHES = {"blend": "to blend in", "tone": "tone on tone", "contrast": "to stand out"}


def check_document(
    found: Assessment, palette: Palette, grade: str, path: Path, palettes: Path | None = None
) -> Document:
    """Return a job, checked.

    Parameters
    ----------
    found, palette, grade
        The job, from what it was chosen, and the word for how finely light was followed.
    path
        Its file.
    palettes
        The folder that was read in place of the usual ones.

    """
    job = found.job
    asked = [asked_in(job, one.reading.question, palette, grade) for one in found.lines]
    when = "" if job.event is None else f", first worn on {day(job.event)}"
    return document(f"{job.title}{when}", _parts(found, asked, path, palettes), {
        "schema": "planner check 1",
        "job": {
            "file": str(path), "title": job.title, "note": job.note,
            "event": None if job.event is None else day(job.event), "venues": list(job.venues),
        },
        "ok": found.well,
        "wearer": [guarded_data(one) for one in found.wearer],
        "lines": [
            {
                "line": line.number,
                "inputs": asked_data(one),
                **reading_data(line.reading),
                "warnings": concerns_data(line.concerns),
                "accepted_in_vain": [by.model_dump() for by in line.unused],
                "notes": [*not_offered(one.question), *line.record.notes],
                "track_record": track_data(line.record.track),
                "basis": bases(one.question),
            }
            for line, one in zip(found.lines, asked, strict=True)
        ],
    })  # fmt: skip


def _parts(
    found: Assessment, asked: Sequence[Asked], path: Path, palettes: Path | None
) -> Iterator[Part | None]:
    lines = found.lines
    if not lines:
        yield Sentence(f"The job has no lines yet: add one under [[line]] in {path}.")
        return
    question, alike = asked[0].question, _alike(lines)
    far = f"seen from {question.distance:g} m in {question.venue.name}"
    yield Sentence(f"To match {asked[0].swatch.name}, {far}.")
    yield Section("Swatch and cloth", tuple(map(Item, (*got_as(question), *alike))))
    yield wearer_section(found.wearer, found.job.wearer)
    for one in lines:
        yield from _line(one, alike)
    yield invented(each for one in asked for each in bases(one.question).items())
    stands = _before_buying(found)
    yield stands
    if stands is None or any(one.standing for one in lines):
        yield _what_stands(lines, asked, path, palettes)


def _alike(lines: Sequence[LineAssessed]) -> tuple[str, ...]:
    """Return what the kind of cloth does to every line alike, so that it is told once."""
    of_each = [kinds(one.reading) for one in lines]
    return tuple(one for one in of_each[0] if all(one in some for some in of_each))


def _line(one: LineAssessed, alike: Sequence[str]) -> Iterator[Section]:
    question, note = one.reading.question, one.line.note
    name = pairing_name(question.stone, question.coating)
    of_cloth = [said for said in kinds(one.reading) if said not in alike]
    said, *unsure = words(one.reading)
    head: list[Part] = [
        Sentence(f"Line {one.number}: {name}, {question.size}, {_WISHES[question.wish]}", "strong"),
        *([Sentence(f"“{note}”")] if note else []),
        said,
    ]
    if unsure:
        yield Section("", tuple(head))
        head = [*unsure]
    known = track(one.record.track)
    yield Section("", (
        *head,
        *notes_parts((*not_offered(question), *of_cloth, *one.record.notes)),
        *([] if known is None else [known]),
        *concern_parts(one.concerns, codes=True, nothing="No warnings."),
        *(Item(_in_vain(by)) for by in one.unused),
    ))  # fmt: skip


def _in_vain(by: Acceptance) -> str:
    """Say that an acceptance meets no warning: it is out of date, or its code is misspelt."""
    if by.code in FINAL:
        known = "nobody can accept that"
    elif by.code in {*CODES, *CAUTIONS}:
        known = "there is no such warning now"
    else:
        known = f"no warning has that name: {suggest(by.code, [*CODES, *CAUTIONS])}"
    return f"{by.code}: accepted by {by.who} ({by.why}), but {known}"


def _before_buying(found: Assessment) -> Section | None:
    """Return what stands for the wearer's sake; nothing where nothing does."""
    parts: list[Part] = []
    for one in found.wearer:
        if one.standing:
            code, where, final = one.caution.code, numbered(one.standing), one.caution.final
            may = "Nobody can accept it." if final else "Whoever answers for it adds to each [[line]]:"
            parts.append(Sentence(f"{code} stands for {where}. {one.caution.do} {may}"))
            parts += [] if final else [accept_line(code)]
    return section("", [Sentence("Before you buy anything", "strong"), *parts]) if parts else None


def _what_stands(
    lines: Sequence[LineAssessed], asked: Sequence[Asked], path: Path, palettes: Path | None
) -> Part:
    """Return which warnings stand, and what to do about them."""
    standing = [(at, concern) for at, one in enumerate(lines) for concern in one.standing]
    if not standing:
        return Sentence("No severe warning is left open.")
    at, first = standing[0]
    listed = ", ".join(f"{concern.code} in line{_HELD}{lines[place].number}" for place, concern in standing)
    many = counted(len(standing), "severe warning is", "severe warnings are")
    return next_steps(
        Sentence(f"{many} still open: {listed}."),
        Sentence("To see what to order instead:"),
        read_again(asked[at].question, asked[at], palettes),
        Sentence(f"Or, if you accept it as it is, add to its [[line]] in {path}:"),
        accept_line(first.code),
    )


def accept_line(code: str) -> Literally:
    """Return the line of a job file by which somebody accepts a warning."""
    return Literally(f'accept = [{{ code = "{code}", who = "…", why = "…" }}]')
