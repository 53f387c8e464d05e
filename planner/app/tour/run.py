"""Opens the tour."""

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from planner.app.pauses import starting
from planner.refusal import Refusal


def run() -> int:
    """Walk through the demo's job on the screen, and return the exit status.

    Raises
    ------
    Refusal
        If there is no terminal, or nothing can be written in the system's temporary folder.

    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Refusal("the tour needs a terminal; planner --help shows what works without one")
    starting()
    from planner.app.tour.tour_app import TourApp

    try:
        with TemporaryDirectory(prefix="planner-tour-") as folder:
            app = TourApp(Path(folder))
            app.run()
    except OSError as problem:
        raise Refusal(
            f"the system's temporary folder: the tour's copy cannot be made there "
            f"({problem.strerror or problem})"
        ) from None
    return app.return_code or 0
