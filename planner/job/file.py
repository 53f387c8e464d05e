"""A job file: read it, bring it up to date with a changed job, save it.

It is TOML: the fields of the job first, then one ``[[line]]`` entry for each pairing and one ``[[area]]``
entry for each area of the garment.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from planner.catalogue.errors import build, field_path, suggest
from planner.catalogue.files import OwnFile, TextFile, read_text
from planner.catalogue.palette_file import entry_data, places
from planner.catalogue.toml_text import (
    Blocks,
    edit_entry,
    edit_head,
    new_entry,
    newline_of,
    parse,
    split_for_edit,
)
from planner.job.area import Area
from planner.job.model import OLD_CODES, OLD_WORDS, Job, Line
from planner.refusal import Refusal, show

_KINDS: dict[str, tuple[str, type[Line] | type[Area]]] = {"line": ("lines", Line), "area": ("areas", Area)}
"""Each header, the field of a job that its entries fill, and their model."""


@dataclass(frozen=True)
class JobFile(OwnFile):
    """A job and the text it is kept in."""

    job: Job
    """What the text says."""

    notes: tuple[str, ...] = ()
    """What was read in another way than it is written, one sentence each."""

    def with_job(self, job: Job) -> "JobFile":
        """Return the file brought up to date with `job`; comments and all that stayed alike are kept.

        Raises
        ------
        Refusal
            If the file's lines are written in a way that cannot be changed in place.

        """
        if job == self.job:
            return self
        blocks = split_for_edit(self.path, self.source.text, tuple(_KINDS))
        head = edit_head(blocks.head, _head(self.job), _head(job))
        order = dict.fromkeys([*(block.kind for block in blocks.blocks), *_KINDS])
        text = head + "".join(text for kind in order for text in _texts(blocks, kind, self.job, job))
        after = _read(replace(self.source, text=text))
        if after.job != job:
            raise Refusal(f"{self.path}: cannot be changed in place; save the job under another name")
        return after


def read_job_file(path: Path) -> JobFile:
    """Return the job file at `path`.

    Raises
    ------
    Refusal
        If it cannot be read, is not TOML, or a field is wrong: one sentence for the first fault.

    """
    return _read(read_text(path))


def new_job_file(path: Path, job: Job) -> JobFile:
    """Return `job` as a file that is not on the disk yet; to save it never overwrites another file."""
    text = edit_head("", {}, _head(job))
    for kind, (field, _) in _KINDS.items():
        text += "".join(new_entry(kind, entry_data(entry)) for entry in getattr(job, field))
    return JobFile(TextFile(path, text, None), job)


def _read(source: TextFile) -> JobFile:
    data = parse(source.path, source.text)
    entries = {kind: data.pop(kind, []) for kind in _KINDS}
    known = {*Job.model_fields, *_KINDS} - {field for field, _ in _KINDS.values()}
    for key in data:
        if key not in known:
            raise Refusal(
                f"{source.path}, field {field_path((key,))}: is not known here; {suggest(key, known)}"
            )
    for kind, (field, model) in _KINDS.items():
        if built := _entries(source, kind, model, entries[kind]):
            data[field] = built
    return JobFile(
        source, build(Job, data, str(source.path)), _older(source, data.get("wearer"), entries["line"])
    )


def _older(source: TextFile, wearer: Any, lines: Any) -> tuple[str, ...]:
    """Return what stands there in the words of an older planner, and how it is read."""
    accepted = [one for line in lines for one in line.get("accept", ())]
    codes = dict.fromkeys(one["code"] for one in accepted if one["code"] in OLD_CODES)
    found = {wearer: OLD_WORDS[wearer]} if wearer in OLD_WORDS else {}
    found |= {code: OLD_CODES[code] for code in codes}
    return tuple(
        f"{source.path}: {show(old)} is read as {show(new)}; check that this is still what you mean"
        for old, new in found.items()
    )


def _entries(source: TextFile, kind: str, model: type[Line] | type[Area], rows: Any) -> tuple[Any, ...]:
    """Return the entries of one kind; a fault says on which line of the file the entry begins."""
    if not isinstance(rows, list):
        raise Refusal(f"{source.path}: found {show(rows)} as {kind}; each needs a header [[{kind}]]")
    at = places(source, kind, _KINDS, len(rows), f"job {kind}")
    return tuple(build(model, row, where) for row, where in zip(rows, at, strict=True))


def _head(job: Job) -> dict[str, Any]:
    """Return the fields that stand before the first entry."""
    data = entry_data(job)
    for field, _ in _KINDS.values():
        data.pop(field, None)
    return data


def _texts(blocks: Blocks, kind: str, before: Job, after: Job) -> Iterator[str]:
    """Yield the text of each new entry: its own where it stayed, edited where it changed, else fresh.

    An entry that moved takes its text, and so its comments, along.
    """
    field, _ = _KINDS[kind]
    old, new = getattr(before, field), getattr(after, field)
    texts = [block.text for block in blocks.blocks if block.kind == kind]
    steps = SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    left = {
        old[one]: texts[one]
        for step, start, end, _, _ in steps
        if step != "equal"
        for one in range(start, end)
    }
    for step, start, end, new_start, new_end in steps:
        if step == "equal":
            yield from texts[start:end]
            continue
        for number, entry in enumerate(new[new_start:new_end]):
            was = start + number
            if entry in left:
                yield left[entry]
            elif was < end and old[was] not in new:
                yield edit_entry(texts[was], kind, entry_data(old[was]), entry_data(entry))
            else:
                yield new_entry(kind, entry_data(entry), newline_of(blocks.text))
