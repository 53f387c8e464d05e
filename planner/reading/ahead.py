"""What a second process leaves in the store for a reading while the first is at it.

Beams are followed once: the second process takes what needs none of them first, until it finds those that
the first leaves. Which of the two works out what makes no difference to the answer.
"""

import time
from collections.abc import Iterator

from planner.reading.among import white_of
from planner.reading.field import sees_facets
from planner.reading.look import sightings_by_beam
from planner.reading.matter import Grade, gem, is_traced
from planner.reading.question import Question
from planner.reading.read import look_beside
from planner.reading.scene import scene

PATIENCE = 3.0
"""Seconds to wait for beams that another process follows before following them too (our choice)."""

_GLANCE = 0.01
"""Seconds between two looks."""

_NOTHING = object()
"""What comes of an iterator that has no more steps."""


def read_ahead(question: Question, grade: Grade, meanwhile: Iterator[object]) -> Iterator[None]:
    """Leave in the store, step by step, what `planner.reading.read.read` asks for last or in passing.

    Steps of `meanwhile` are taken while beams are followed elsewhere.
    """
    place, at_hand = scene(question.venue), sees_facets(question.millimetres, question.distance)
    look_beside(question)
    yield
    stone = gem(question.stone, question.cut, grade, question.lean, coating=question.coating)
    until = time.monotonic() + PATIENCE
    while not is_traced(stone.shape) and time.monotonic() < until:
        if next(meanwhile, _NOTHING) is _NOTHING:
            time.sleep(_GLANCE)
        yield
    sightings_by_beam(stone, place, by_facet=at_hand)
    yield
    white_of(question, place, grade)
    yield
