"""Who holds the present job, as a screen on it needs to know; and a step back or forward through it."""

from collections.abc import Callable
from typing import Protocol

from planner.app.state import State
from planner.job import unknown_names


class JobHolder(Protocol):
    """Who holds the job."""

    @property
    def state(self) -> State:
        """The job as it is."""

    def apply(self, state: State) -> None:
        """Make a state the present one."""


def undone(state: State, tell: Callable[[str], object]) -> State | None:
    """Return the state one step back; where there is none, tell so and return None."""
    if state.history.can_undo:
        return _whole(state.undo(), tell)
    tell("There is nothing to undo.")
    return None


def redone(state: State, tell: Callable[[str], object]) -> State | None:
    """Return the state one step forward; where there is none, tell so and return None."""
    if state.history.can_redo:
        return _whole(state.redo(), tell)
    tell("There is nothing to redo.")
    return None


def _whole(state: State, tell: Callable[[str], object]) -> State | None:
    """Return a state of another time if all that it names is still kept; else tell so and return None."""
    if unknown_names(state.job, state.palette):
        tell("That step used an entry that has been deleted since. Bring it back first: S, then u.")
        return None
    return state
