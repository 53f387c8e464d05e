"""A step back or forward through what was done to the job, as every screen takes it."""

from collections.abc import Callable

from planner.app.state import State


def undone(state: State, tell: Callable[[str], object]) -> State | None:
    """Return the state one step back; where there is none, tell so and return None."""
    if state.history.can_undo:
        return state.undo()
    tell("There is nothing to take back.")
    return None


def redone(state: State, tell: Callable[[str], object]) -> State | None:
    """Return the state one step forward; where there is none, tell so and return None."""
    if state.history.can_redo:
        return state.redo()
    tell("There is nothing to do again.")
    return None
