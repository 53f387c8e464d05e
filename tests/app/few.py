"""Few stones, coatings and venues of the demo, and a second that is not there: enough for most stories."""

from planner.app.second_process import ProcessLostError

STONES = ("pulley-blue", "treadle-blue", "marlinspike-navy", "tackle-clear", "shackle-red", "ratchet-smoke")
COATINGS = ("halyard-aurora", "bobbin-aurora", "swivel-gilt")
VENUES = ("rink", "noon")


class NoSecond:
    """A second that is lost at once, so that the first look is the last."""

    def call(self, *_given):
        raise ProcessLostError("not in this test")

    def close(self):
        pass
