"""The job file: one costume's choices; open and save."""

from planner.job.model import Acceptance, Job, Line

__all__ = ["Acceptance", "Job", "Line"]
