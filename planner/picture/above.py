"""The colours of a pattern seen from above: what each line of an area reads as, and its cloth."""

import numpy as np

from planner.catalogue.palette import Palette
from planner.colour.screen import lab_to_srgb
from planner.job import Job, Line
from planner.optics.arrays import Floats
from planner.reading.matter import QUICK
from planner.reading.of_job import line_question
from planner.reading.question import colour_called
from planner.reading.rank import seen_labs
from planner.reading.read import cloth_lab
from planner.reading.scene import scene
from planner.refusal import InvalidValue, Refusal


def colours(job: Job, lines: tuple[Line, ...], palette: Palette) -> tuple[Floats, Floats]:
    """Return (K, 3) seen colour of the stones of each line, and (3,) of the cloth, in sRGB 0 to 255.

    Both in the job's main venue.

    Raises
    ------
    Refusal
        If a coating cannot lie on its stone, or a colour is no cloth's.

    """
    place = scene(palette.venues[job.venues[0]])
    try:
        under = colour_called(job.swatch if job.cloth is None else job.cloth, palette)
        asked = [line_question(job, line, palette) for line in lines]
    except InvalidValue as problem:
        raise Refusal(str(problem)) from None
    labs = [next(iter(seen_labs(one, [one.venue], QUICK, "stone")))[1] for one in asked]
    shown, _ = lab_to_srgb(np.array([*labs, cloth_lab(under.reflectance, place)]))
    return shown[:-1].astype(float), shown[-1].astype(float)
