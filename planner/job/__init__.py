"""The job file: one costume's choices; open and save."""

from planner.job.area import Area
from planner.job.check import unknown_names
from planner.job.file import JobFile, new_job_file, read_job_file
from planner.job.history import History
from planner.job.model import Acceptance, Job, Line

__all__ = [
    "Acceptance",
    "Area",
    "History",
    "Job",
    "JobFile",
    "Line",
    "new_job_file",
    "read_job_file",
    "unknown_names",
]
