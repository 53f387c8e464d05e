"""What has been done to a job, so that it can be undone."""

from dataclasses import dataclass

from planner.job.model import Job

MOST_STATES = 500
"""States kept; the oldest are forgotten first."""


@dataclass(frozen=True)
class History:
    """The states a job went through; a value, so each step gives another history."""

    states: tuple[Job, ...]
    """Oldest first, at least one."""

    at: int = 0
    """Which of them is the present one."""

    @property
    def job(self) -> Job:
        """The present state."""
        return self.states[self.at]

    @property
    def can_undo(self) -> bool:
        """Whether there is an earlier state."""
        return self.at > 0

    @property
    def can_redo(self) -> bool:
        """Whether there is a later state, undone before."""
        return self.at + 1 < len(self.states)

    def do(self, job: Job) -> "History":
        """Return the history with `job` as its present; what had been undone is forgotten."""
        if job == self.job:
            return self
        states = (*self.states[: self.at + 1], job)[-MOST_STATES:]
        return History(states, len(states) - 1)

    def undo(self) -> "History":
        """Return the history one step back, or itself at its beginning."""
        return History(self.states, self.at - 1) if self.can_undo else self

    def redo(self) -> "History":
        """Return the history one step forward again, or itself at its end."""
        return History(self.states, self.at + 1) if self.can_redo else self
