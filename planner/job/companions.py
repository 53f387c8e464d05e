"""Files that belong to a job: its offers and its drawer, remembered by their paths.

A path is written as it is from the job's folder where the file lies there or below it, so that both can be
moved together, and in full elsewhere.
"""

from pathlib import Path
from typing import Any, Final

from planner.job.model import Job

FIELDS: Final = ("offers", "stock")
"""Fields of a job that name a file."""


def companion(written: str, job_file: Path | None) -> Path | None:
    """Return the path that a job's field names; None where it names none.

    A relative path counts from the job's folder, and from the present one while the job has no file.
    """
    if not written:
        return None
    try:
        path = Path(written).expanduser()
    except RuntimeError:  # a ~ that names nobody
        path = Path(written)
    return path if job_file is None else job_file.parent / path


def written(path: Path, job_file: Path | None) -> str:
    """Return what a job's field says of a file."""
    full = path.absolute()
    folder = None if job_file is None else job_file.absolute().parent
    if folder is not None and full.is_relative_to(folder):
        return full.relative_to(folder).as_posix()
    return str(full)


def carried(job: Job, before: Path | None, after: Path) -> dict[str, Any]:
    """Return which fields of a job change when it moves from one file to another, and to what."""
    if before is not None and before.absolute().parent == after.absolute().parent:
        return {}
    changes = {}
    for field in FIELDS:
        path = companion(getattr(job, field), before)
        if path is not None and (new := written(path, after)) != getattr(job, field):
            changes[field] = new
    return changes
