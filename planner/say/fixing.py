"""How a job's stones are fixed, how much glue and time that takes, and what to be careful of."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from planner.assess import Guarded
from planner.catalogue.pairing import name_in
from planner.catalogue.palette import Palette
from planner.fixing.advice import Advice, advice, glue_basis
from planner.fixing.caution import WEARER, Caution, cautions
from planner.job.model import Job
from planner.say.document import Document, Item, Part, Section, Sentence, document, section
from planner.say.names import between, counted, hours_between
from planner.say.warned import caution_data, caution_part, guarded_data, wearer_section

_SUITS = {"yes": "is suitable", "with care": "is suitable with care", "no": "IS NOT SUITABLE"}


def fixing_document(job: Job, palette: Palette, worn: Sequence[Guarded], file: Path | None) -> Document:
    """Return how the stones of a job are fixed, the wearer first; `file` is the job's, if it has one.

    Raises
    ------
    Refusal
        If an area's stones would overlap.

    """
    lines = advice(job, palette)
    rest = tuple(one for one in cautions(job, palette) if one.code not in WEARER)
    parts: list[Part | None] = [wearer_section(worn, job.wearer)]
    if lines:
        alike = set.intersection(*(set(one.says) for one in lines))
        parts += [
            section("All lines", (Item(one) for one in lines[0].says if one in alike)),
            Section("Line by line", tuple(_line(one, job, palette, alike) for one in lines)),
            _quantities(lines),
            Section("Be careful", tuple(map(caution_part, rest))),
            Sentence("All of this is common practice, no source."),
        ]
    else:
        where = "" if file is None else f": add one under [[line]] in {file}"
        parts.append(Sentence(f"The job has no lines yet{where}."))
    cloth = "unknown cloth" if job.fibre == "not known" else job.fibre
    return document(f"{job.title}: {job.fixing} on {cloth}", parts, _data(job, file, worn, lines, rest))


def _line(one: Advice, job: Job, palette: Palette, alike: set[str]) -> Item:
    line = job.lines[one.line - 1]
    name = name_in(palette, line.stone, line.coating, line.size)
    said = [f"{name}: {one.fixing} {_SUITS[one.suits]}."]
    said += [remark for remark in one.says if remark not in alike]
    if one.stones:
        glue = "" if one.glue_ml is None else f", {between(*one.glue_ml, 'ml', 1)} of glue"
        said.append(f"{counted(one.stones, 'stone')}{glue}, {hours_between(*one.hours)}.")
    else:
        said.append("Not in any area yet.")
    return Item(" ".join(said), f"{one.line}.")


def _quantities(lines: Sequence[Advice]) -> Section:
    said = []
    glue = [one.glue_ml for one in lines if one.glue_ml is not None]
    if glue and sum(one.stones for one in lines):
        low, high = (sum(part) for part in zip(*glue, strict=True))
        said.append(f"Glue in all: {between(low, high, 'ml', 1 if high < 10 else 0)}. {glue_basis()}")
    return Section("How much and how long", tuple(map(Item, (*said, lines[0].cures))))


def _data(
    job: Job, file: Path | None, worn: Sequence[Guarded], lines: Sequence[Advice], rest: Sequence[Caution]
) -> dict[str, Any]:
    return {
        "schema": "planner fixing 1",
        "job": {"file": None if file is None else str(file), "title": job.title, "fixing": job.fixing,
                "fibre": job.fibre, "wearer": job.wearer, "use": list(job.use)},
        "wearer": [guarded_data(one) for one in worn],
        "lines": [
            {
                "line": one.line, "stones": one.stones, "fixing": one.fixing, "suits": one.suits,
                "says": list(one.says), "glue_ml": None if one.glue_ml is None else list(one.glue_ml),
                "hours": list(one.hours), "cures": one.cures,
            }
            for one in lines
        ],
        "cautions": [caution_data(one) for one in rest],
    }  # fmt: skip
