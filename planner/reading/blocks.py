"""The stones of a ranking in blocks: those under one coating whose batches are weighed in one go."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from planner.catalogue.coating import Coating
from planner.catalogue.palette import Palette
from planner.reading.looks import Job
from planner.reading.question import Question

WEIGHED = 512
"""Stones whose batches are weighed in one go: enough for large products, few enough for memory."""


@dataclass(frozen=True, eq=False)
class Block:
    """Stones under one coating whose batches are weighed in one go."""

    coating: Coating | None
    parts: tuple[tuple[Job, slice], ...]
    """Whose they are, and which of its stones."""

    @property
    def full(self) -> bool:
        """Whether no more stones go into it."""
        return sum(some.stop - some.start for _, some in self.parts) == WEIGHED

    def asked(self, palette: Palette, question: Question) -> list[Question]:
        """Return what is asked of each stone."""
        return [
            replace(question, stone=stone, cut=palette.cuts[stone.cut], coating=self.coating, size=size)
            for (alike, _), some in self.parts
            for stone, size in zip(alike.stones[some], alike.sizes[some], strict=True)
        ]


def blocks_of(jobs: Sequence[Job], coating: Coating | None) -> Iterator[Block]:
    """Yield all stones that are looked at under a coating, `WEIGHED` by `WEIGHED`."""
    parts: list[tuple[Job, slice]] = []
    room = WEIGHED
    for job in jobs:
        if not any(film is coating for film in job[1]):
            continue
        start, count = 0, len(job[0].stones)
        while start < count:
            end = min(count, start + room)
            parts.append((job, slice(start, end)))
            start, room = end, room - (end - start)
            if not room:
                yield Block(coating, tuple(parts))
                parts, room = [], WEIGHED
    if parts:
        yield Block(coating, tuple(parts))
