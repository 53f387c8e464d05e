"""Drafts: every change to a job is kept in a file of its own until it is saved or thrown away.

A draft lies in the person's state folder and is a job file with two lines in front: which file it
belongs to, and that file's digest when it was read. The draft of a planner that ended without
tidying up is offered again at the next start.
"""

import os
import re
import time
from contextlib import suppress
from ctypes import c_uint32
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import platformdirs

from planner import atomic
from planner.app.state import State, state_of
from planner.atomic import BACKUP
from planner.catalogue.files import TextFile, read_text, write_text
from planner.catalogue.palette import Palette
from planner.job import Job, JobFile, new_job_file, read_job_file
from planner.refusal import Refusal

_NAME = re.compile(r"draft-(\d+)-\d+\.toml")
_OF = "# Draft of: "
_DIGEST = "# Digest: "

_LIMITED, _DENIED, _STILL_ACTIVE = 0x1000, 5, 259
"""On Windows: the right to ask of a process, the error of having none, and the code of one that runs."""


def drafts_folder() -> Path:
    """Return where drafts are kept; it need not exist."""
    return Path(platformdirs.user_state_dir("coated-stone-planner", appauthor=False)) / "drafts"


@dataclass(frozen=True)
class Left:
    """A draft that a planner left behind."""

    path: Path
    job: Job
    of: Path | None
    """The file it belongs to; None where the job had no name yet."""
    digest: str | None
    """Digest of that file when it was read."""
    when: datetime


class Drafts:
    """The draft of one planner; `folder` is `drafts_folder` when not given."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = drafts_folder() if folder is None else folder
        self._file: TextFile | None = None
        self._number = 0

    @property
    def path(self) -> Path | None:
        """Where the draft lies; None while there is none."""
        return None if self._file is None else self._file.path

    def keep(self, state: State) -> Path:
        """Write the job as it is now, and return where.

        Raises
        ------
        Refusal
            If it cannot be written.

        """
        text = _head(state.file) + new_job_file(Path("job"), state.job).source.text
        atomic.make_folder(self.folder)
        if self._file is None or not self._file.path.exists():
            self._file = TextFile(self._free(), text, None)
        self._file = write_text(replace(self._file, text=text))
        return self._file.path

    def drop(self) -> None:
        """Throw the draft away: its job is saved, or not wanted."""
        if self._file is not None:
            discard(self._file.path)
            self._file = None

    def let_go(self) -> None:
        """Leave the draft where it is, for the next start."""
        if self._file is not None:
            aside = self._file.path.with_name(f"draft-0-{time.time_ns()}.toml")
            with suppress(OSError):
                self._file.path.rename(aside)
            discard(self._file.path)
            self._file = None

    def left(self) -> tuple[Left, ...]:
        """Return what other planners left behind, the newest first; what cannot be read is not offered."""
        found = []
        for path in self.folder.glob("draft-*.toml"):
            match = _NAME.fullmatch(path.name)
            if match and path != self.path and not _alive(int(match[1])):
                with suppress(Refusal, OSError):
                    found.append(_read(path))
        return tuple(sorted(found, key=lambda one: one.when, reverse=True))

    def _free(self) -> Path:
        while True:
            self._number += 1
            path = self.folder / f"draft-{os.getpid()}-{self._number}.toml"
            if not path.exists():
                return path


def discard(path: Path) -> None:
    """Delete a draft and its backup."""
    for one in (path, path.with_name(path.name + BACKUP)):
        with suppress(OSError):
            one.unlink()


def taken_up(left: Left, palette: Palette) -> State:
    """Return the state of a draft: the job as left, and its file if that still is what it was.

    If the file was changed meanwhile, its digest no longer fits, and saving will refuse.

    Raises
    ------
    Refusal
        If the palette has not all that the draft names.

    """
    file: JobFile | None = None
    if left.of is not None:
        with suppress(Refusal):
            file = read_job_file(left.of)
            if file.source.digest != left.digest:
                file = replace(file, source=replace(file.source, digest=left.digest))
    state = state_of(left.job, palette, file, left.path)
    kept = file.job if file is not None else Job(title="-", swatch="#000000", venues=left.job.venues)
    return replace(state, kept=kept)


def _head(file: JobFile | None) -> str:
    if file is None:
        return f"{_OF}\n{_DIGEST}\n"
    return f"{_OF}{file.path.resolve()}\n{_DIGEST}{file.source.digest or ''}\n"


def _read(path: Path) -> Left:
    first, second, *_ = [*read_text(path).text.splitlines(), "", ""]
    of, mark = first.removeprefix(_OF).strip(), second.removeprefix(_DIGEST).strip()
    when = datetime.fromtimestamp(path.stat().st_mtime).astimezone()
    return Left(path, read_job_file(path).job, Path(of) if of else None, mark or None, when)


def _alive(process: int) -> bool:
    """Return whether a process still runs, as far as can be told without harm."""
    if process in (0, os.getpid()):
        return process > 0
    if os.name != "posix":
        import ctypes

        return _alive_on_windows(process, ctypes.windll.kernel32)  # type: ignore[attr-defined, unused-ignore]
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def _alive_on_windows(process: int, kernel: Any) -> bool:
    """Return the same by the system's own calls (as their documentation has them; not tried)."""
    handle = kernel.OpenProcess(_LIMITED, 0, process)
    if not handle:
        return int(kernel.GetLastError()) == _DENIED  # somebody else's
    code = (c_uint32 * 1)()
    told = kernel.GetExitCodeProcess(handle, code)
    kernel.CloseHandle(handle)
    return not told or code[0] == _STILL_ACTIVE
