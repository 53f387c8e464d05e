"""When a sample should be seen before all stones of a pairing are ordered."""

from collections.abc import Iterable
from typing import Final

from planner.job.model import Acceptance
from planner.reading.concern import Concern

SEE_FIRST: Final = frozenset({"glow-drifts", "flash-off-hue", "shows-cloth"})
"""Warnings that one stone on the cloth under the lamps can settle, as their own advice says. Lots that
disagree are none of them: a sample from one lot says nothing of the next, so there the advice is to order
all at once and ask for one lot."""


def sample_advised(found: Iterable[tuple[Concern, Acceptance | None]]) -> bool:
    """Return whether one of the warnings asks for a sample and nobody has accepted it."""
    return any(one.code in SEE_FIRST and one.severity != "note" and by is None for one, by in found)
