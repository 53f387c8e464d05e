"""A job file: read it, bring it up to date with a changed job, save it.

It is TOML: the fields of the job first, then one ``[[line]]`` entry for each pairing.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from planner.catalogue.errors import PaletteError, field_path, show, suggest
from planner.catalogue.files import TextFile, read_text, write_text
from planner.catalogue.palette_file import build, entry_data, place
from planner.catalogue.toml_text import (
    Blocks,
    edit_entry,
    edit_head,
    new_entry,
    newline_of,
    parse,
    split,
    split_for_edit,
)
from planner.job.model import Job, Line

_HEADER = "line"


@dataclass(frozen=True)
class JobFile:
    """A job and the text it is kept in."""

    source: TextFile
    """Its text, and which version of it is on the disk."""

    job: Job
    """What the text says."""

    @property
    def path(self) -> Path:
        """Where it is."""
        return self.source.path

    def with_job(self, job: Job) -> "JobFile":
        """Return the file brought up to date with `job`; comments and all that stayed alike are kept.

        Raises
        ------
        PaletteError
            If the file's lines are written in a way that cannot be changed in place.

        """
        if job == self.job:
            return self
        blocks = split_for_edit(self.path, self.source.text, (_HEADER,))
        head = edit_head(blocks.head, _head(self.job), _head(job))
        text = head + "".join(_texts(blocks, self.job.lines, job.lines))
        after = _read(replace(self.source, text=text))
        if after.job != job:
            raise PaletteError(f"{self.path}: cannot be changed in place; save the job under another name")
        return after

    def save(self) -> "JobFile":
        """Write the file whole, keep one backup, and return it as now on the disk.

        Raises
        ------
        PaletteError
            If it changed on the disk since it was read, or cannot be written.

        """
        return replace(self, source=write_text(self.source))


def read_job_file(path: Path) -> JobFile:
    """Return the job file at `path`.

    Raises
    ------
    PaletteError
        If it cannot be read, is not TOML, or a field is wrong: one sentence for the first fault.

    """
    return _read(read_text(path))


def new_job_file(path: Path, job: Job) -> JobFile:
    """Return `job` as a file that is not on the disk yet; to save it never overwrites another file."""
    text = edit_head("", {}, _head(job))
    text += "".join(new_entry(_HEADER, entry_data(line)) for line in job.lines)
    return JobFile(TextFile(path, text, None), job)


def _read(source: TextFile) -> JobFile:
    data = parse(source.path, source.text)
    rows = data.pop(_HEADER, [])
    known = {*Job.model_fields, _HEADER} - {"lines"}
    for key in data:
        if key not in known:
            raise PaletteError(
                f"{source.path}, field {field_path((key,))}: is not known here; {suggest(key, known)}"
            )
    if not isinstance(rows, list):
        raise PaletteError(
            f"{source.path}: found {show(rows)} as {_HEADER}; each needs a header [[{_HEADER}]]"
        )
    headers = [block.line for block in split(source.text, (_HEADER,)).blocks]
    at = headers if len(headers) == len(rows) else [None] * len(rows)
    lines = tuple(
        build(Line, row, place(source.path, at[number], "job line", None, number))
        for number, row in enumerate(rows)
    )
    return JobFile(source, build(Job, {**data, "lines": lines} if lines else data, str(source.path)))


def _head(job: Job) -> dict[str, Any]:
    """Return the fields that stand before the first line."""
    data = entry_data(job)
    data.pop("lines", None)
    return data


def _texts(blocks: Blocks, old: tuple[Line, ...], new: tuple[Line, ...]) -> Iterator[str]:
    """Yield the text of each new line: its own where it stayed, edited where it changed, else fresh.

    A line that moved takes its text, and so its comments, along.
    """
    texts = [block.text for block in blocks.blocks]
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
        for number, line in enumerate(new[new_start:new_end]):
            was = start + number
            if line in left:
                yield left[line]
            elif was < end and old[was] not in new:
                yield edit_entry(texts[was], _HEADER, entry_data(old[was]), entry_data(line))
            else:
                yield new_entry(_HEADER, entry_data(line), newline_of(blocks.text))
