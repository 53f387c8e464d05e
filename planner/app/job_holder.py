"""Who holds the present job, as a screen on it needs to know; and a step back or forward through it."""

from collections.abc import Callable
from typing import Protocol

from planner.app.state import State


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
        return state.undo()
    tell("There is nothing to undo.")
    return None


def redone(state: State, tell: Callable[[str], object]) -> State | None:
    """Return the state one step forward; where there is none, tell so and return None."""
    if state.history.can_redo:
        return state.redo()
    tell("There is nothing to redo.")
    return None
