"""Opens the interface."""

import codecs
import os
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

from planner.app.pauses import starting
from planner.catalogue.palette import load, sources
from planner.catalogue.settings import as_set
from planner.job import read_job_file
from planner.refusal import Refusal


def run(job: Path | None = None, palettes: Path | None = None) -> int:
    """Open the interface, on a job file or with the start screen, and return its exit status.

    Raises
    ------
    Refusal
        If the job or a palette cannot be used, or there is no terminal to open it in.

    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()) and not in_a_window():
        raise Refusal("the interface needs a terminal; planner --help shows what works without one")
    starting()
    _read_any_byte()
    file = None if job is None else read_job_file(job)
    palette = as_set(load(*sources(job=job, palettes=palettes)))

    from planner.app.parts.pixels import way_of
    from planner.app.planner_app import PlannerApp
    from planner.app.state import state_of

    state = None if file is None else state_of(file.job, palette, file, file.path)
    app = PlannerApp(palette, state, palettes=palettes, way=way_of())
    app.run()
    return app.return_code or 0


def in_a_window() -> bool:
    """Say whether it was started for a browser's window, which stands in for the terminal."""
    return "web_driver" in os.environ.get("TEXTUAL_DRIVER", "")


def _read_any_byte() -> None:
    """Let the library show a mark for typed or pasted bytes that are no UTF-8; it would end the screen."""
    from textual.drivers import linux_driver

    linux_driver.getincrementaldecoder = _lenient  # type: ignore[assignment, attr-defined]


def _lenient(encoding: str) -> Callable[[], codecs.IncrementalDecoder]:
    return partial(codecs.getincrementaldecoder(encoding), errors="replace")
