"""How to fix each line of a job: whether glue or hot-fix suits it, how much glue, how long it takes."""

import math
from dataclasses import dataclass

from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size
from planner.cover.count import counts
from planner.cover.practice import pace
from planner.fixing.practice import Suits, practice, suits
from planner.job.model import Fixing, Job

_FIRMER: tuple[Suits, ...] = ("no", "with care", "yes")


@dataclass(frozen=True)
class Advice:
    """How to fix one line of a job."""

    line: int
    """Its number, from 1."""

    stones: int
    """How many of it are worn."""

    fixing: Fixing
    """The way the job asks for."""

    suits: Suits
    """Whether that suits cloth and stone."""

    says: tuple[str, ...]
    """Sentences on it, the cloth's first."""

    glue_ml: tuple[float, float] | None
    """Glue for all of them, ml, from and to; None for hot-fix, which carries its own."""

    hours: tuple[float, float]
    """To set all of them, from and to, one practised person."""

    cures: str
    """How long until it holds, one sentence."""


def advice(job: Job, palette: Palette) -> tuple[Advice, ...]:
    """Return how to fix every line of a job whose stone is in the palette, in the job's order.

    Raises
    ------
    Refusal
        If stones would overlap at the spacing of an area.

    """
    worn: dict[str, int] = {}
    for area in counts(job):
        for one in area.lines:
            worn[one.line.name or ""] = worn.get(one.line.name or "", 0) + one.stones
    speed, found = pace(job.fixing), []
    for number, line in enumerate(job.lines, 1):
        stone = palette.stones.get(line.stone)
        if stone is None:
            continue
        answer, cloth = suits(job.fixing, job.fibre)
        says = [cloth]
        stones = worn.get(line.name, 0) if line.name is not None else 0
        if job.fixing == "hot-fix":
            says.append("Buy stones sold as hot-fix, with glue on the back; others stay loose.")
            if stone.material == "acrylic":
                answer, remark = "no", "Acrylic softens under a hot tool: glue these."
                says.append(remark)
        elif stone.material == "acrylic":
            answer = min(answer, "with care", key=_FIRMER.index)
            says.append("Acrylic needs a glue that names acrylic on its label: others craze it.")
        glue = glue_ml(stones, line.size) if job.fixing == "glue" else None
        cures = practice()["glue" if job.fixing == "glue" else "hot"]["cures"]
        hours = (stones / speed.fast, stones / speed.slow)
        found.append(Advice(number, stones, job.fixing, answer, tuple(says), glue, hours, cures))
    return tuple(found)


def glue_ml(stones: int, name: str) -> tuple[float, float]:
    """Return how much glue stones of a size take, ml, from and to: an estimate, its basis in `glue_basis`."""
    back = 0.25 * math.pi * size(name).nominal_mm ** 2
    thin, thick = (stones * back * film / 1000.0 for film in practice()["glue"]["film_mm"])
    more = 1.0 + practice()["glue"]["waste"]
    return thin * more, thick * more


def glue_basis() -> str:
    """Return what the estimate of glue rests on, one sentence."""
    return str(practice()["glue"]["says"])
