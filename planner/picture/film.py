"""A short film of the stones for a telephone: they turn as the wearer does, there and back."""

from collections.abc import Callable
from io import BytesIO
from pathlib import Path

from PIL import Image

from planner import atomic
from planner.picture.motion import RATE, Loop
from planner.picture.png import checked
from planner.picture.view import view
from planner.reading.question import Question

SUFFIX = ".webp"

SIDE = 320
"""Pixels each way."""

_FINER = 2
"""Samples to a pixel, each way: what moves need not be as fine as what stands."""

_QUALITY = 82


def write_film(question: Question, path: Path, done: Callable[[float], None] = lambda _: None) -> None:
    """Write an endless film of some stones near by.

    Parameters
    ----------
    question
        What to draw.
    path
        Where to; its name ends in .webp, and a file of that name is replaced.
    done
        Told the share that is drawn, now and then.

    Raises
    ------
    ValueError
        One sentence, if nothing can be written there; then nothing was.

    """
    checked(path, SUFFIX)
    ready = view(question, SIDE, SIDE, "hand", finer=_FINER)
    loop = Loop(ready.frame)
    for number in range(loop.count):
        loop.frame(number)
        done((number + 1) / loop.count)
    first, *rest = (Image.fromarray(one) for one in loop.frames())
    data = BytesIO()
    first.save(
        data, "WEBP", save_all=True, append_images=rest, duration=round(1000 / RATE), loop=0, quality=_QUALITY
    )
    atomic.write(path, data.getvalue())
