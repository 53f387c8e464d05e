"""The colours of a pattern seen from above: what each line of an area reads as, and its cloth."""

import numpy as np

from planner.catalogue.errors import PaletteError
from planner.catalogue.palette import Palette
from planner.colour.screen import lab_to_srgb
from planner.job import Job, Line
from planner.optics.arrays import Floats
from planner.reading.matter import QUICK
from planner.reading.question import Question, coating_called, colour_called
from planner.reading.rank import glow_labs
from planner.reading.read import cloth_lab
from planner.reading.scene import scene


def colours(job: Job, lines: tuple[Line, ...], palette: Palette) -> tuple[Floats, Floats]:
    """Return (K, 3) the glow of each line, and (3,) the cloth, in the job's main venue: sRGB 0 to 255.

    Raises
    ------
    PaletteError
        If a coating cannot lie on its stone, or a colour is no cloth's.

    """
    venue = palette.venues[job.venues[0]]
    labs = []
    try:
        swatch = colour_called(job.swatch, palette)
        under = swatch if job.cloth is None else colour_called(job.cloth, palette)
        for line in lines:
            stone = palette.stones[line.stone]
            question = Question(
                stone=stone, cut=palette.cuts[stone.cut], coating=coating_called(line.coating, palette),
                size=line.size, swatch=swatch, cloth=under, venue=venue,
                distance=venue.distance if job.distance is None else job.distance, cover=job.cover,
                tolerance=job.tolerance, wish=line.wish,
            )  # fmt: skip
            labs.append(next(iter(glow_labs(question, [venue], QUICK)))[1])
    except ValueError as problem:
        raise PaletteError(str(problem)) from None
    shown, _ = lab_to_srgb(np.array([*labs, cloth_lab(under.reflectance, scene(venue))]))
    return shown[:-1].astype(float), shown[-1].astype(float)
