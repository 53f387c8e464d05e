"""Few stones, coatings and venues of the demo, and a second that is not there: enough for most stories."""

from dataclasses import replace

from planner.app.second_process import ProcessLostError, SameProcess
from planner.job import Job, Line

STONES = ("pulley-blue", "treadle-blue", "marlinspike-navy", "tackle-clear", "shackle-red", "ratchet-smoke")
COATINGS = ("halyard-aurora", "bobbin-aurora", "swivel-gilt")
VENUES = ("rink", "noon")

HOOP = Job(
    title="Hoop act",
    swatch="leotard-blue",
    venues=("rink", "noon"),
    lines=(
        Line(stone="treadle-blue", size="SS20"),
        Line(stone="pulley-blue", coating="halyard-aurora", size="SS20"),
    ),
)
"""A job of two lines, the second of which drifts."""


def few_of(whole):
    """Return a palette small enough to be looked through at once."""
    return replace(
        whole,
        stones={name: whole.stones[name] for name in STONES},
        coatings={name: whole.coatings[name] for name in COATINGS},
        venues={name: whole.venues[name] for name in VENUES},
    )


class NoSecond:
    """Is lost at once, so that the first look is the last; screens on top do their work themselves."""

    def call(self, *_given):
        raise ProcessLostError("not in this test")

    def reserved(self):
        return SameProcess()

    def close(self):
        pass
