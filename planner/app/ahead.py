"""What may well be asked next: the states that a key or two would lead to, the nearest first."""

from collections.abc import Iterator, Sequence
from typing import Final

from planner.app.fields import FIELDS, Field, beside
from planner.app.state import State
from planner.catalogue.coating import NONE
from planner.reading.instead import Instead

SEEN_FIELDS: Final = frozenset("sc")
"""Keys of the fields whose choices are shown with what they would read as."""

_FAR: Final = 3
"""How many choices of a list are looked at ahead, each way."""


def neighbours(state: State, looked_at: Field | None) -> Iterator[State]:
    """Yield the next and the last choices of the field looked at, then those of stone and coating."""
    seen = [field for field in FIELDS if field.key in SEEN_FIELDS and field is not looked_at]
    for field in seen if looked_at is None else [looked_at, *seen]:
        yield from beside(field, state, [one.value for one in field.choices(state)])


def in_list(field: Field, state: State, values: Sequence[str]) -> Iterator[State]:
    """Yield the states with the choices above and below in a list of a field's."""
    yield from beside(field, state, values, _FAR)


def with_offer(state: State, offer: Instead) -> State:
    """Return the state with what could be ordered instead."""
    question = offer.reading.question
    coating = NONE if question.coating is None else question.coating.id
    return state.with_line(stone=question.stone.id, coating=coating, size=question.size)
