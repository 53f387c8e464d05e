"""Whether everything a job names is in the palette."""

from collections.abc import Collection, Iterator

from planner.catalogue.coating import NONE
from planner.catalogue.errors import suggest
from planner.catalogue.palette import Palette
from planner.job.model import Job
from planner.refusal import show


def unknown_names(job: Job, palette: Palette) -> tuple[str, ...]:
    """Return one sentence for each name in `job` that `palette` does not have; none when all is well."""
    return tuple(
        f"{place}: found {show(name)}; there is no such {what}: {suggest(name, known)}"
        for place, what, name, known in _names(job, palette)
        if name not in known
    )


def _names(job: Job, palette: Palette) -> Iterator[tuple[str, str, str, Collection[str]]]:
    """Yield (field, kind, name, known names) for every name a job takes from the palette."""
    for field, colour in (("swatch", job.swatch), ("cloth", job.cloth)):
        if colour is not None and not colour.startswith("#"):
            yield f"field {field}", "swatch", colour, palette.swatches
    for number, venue in enumerate(job.venues):
        yield f"field venues[{number}]", "venue", venue, palette.venues
    for number, line in enumerate(job.lines, 1):
        yield f"job line {number}, field stone", "stone", line.stone, palette.stones
        yield f"job line {number}, field coating", "coating", line.coating, {*palette.coatings, NONE}
