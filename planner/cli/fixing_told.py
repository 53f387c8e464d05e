"""How a job's stones are fixed, for ``planner fixing``."""

from pathlib import Path
from typing import Any

import click

from planner.catalogue.palette import Palette
from planner.cli import as_json, text, wearer
from planner.cli.covering import Covered, between, covered, hours_told
from planner.cli.guard import plain
from planner.fixing.advice import Advice, advice, glue_basis
from planner.fixing.caution import WEARER, Caution, cautions
from planner.job import Job


def show(job: Path, palettes: Path | None, *, as_data: bool) -> None:
    """Print advice for each line, and every caution."""
    found = covered(job, palettes)
    lines = advice(found.job, found.palette)
    rest = tuple(one for one in cautions(found.job, found.palette) if one.code not in WEARER)
    click.echo(as_json.dumps(_data(found, lines, rest)) if as_data else _told(found, lines, rest))


def _told(found: Covered, lines: tuple[Advice, ...], rest: tuple[Caution, ...]) -> str:
    job = found.job
    title = f"{job.title}: {job.fixing} on {'cloth not known' if job.fibre == 'not known' else job.fibre}"
    parts = [text.heading(text.wrap(title)), wearer.told(found.worn, job.wearer)]
    if not lines:
        parts.append(
            text.wrap(f"The job has no lines yet: add one under [[line]] in {plain(found.file.path)}.")
        )
        return "\n\n".join(part for part in parts if part)
    alike = set.intersection(*(set(one.says) for one in lines))
    everywhere = [one for one in lines[0].says if one in alike]
    parts.append("\n".join([text.heading("All lines"), *(text.wrap(one, 4, "  ") for one in everywhere)]))
    parts.append("\n".join([
        text.heading("Line by line"), *(_line(one, job, found.palette, alike) for one in lines),
    ]))  # fmt: skip
    parts.append(_quantities(lines))
    parts.append("\n".join([text.heading("Be careful"), *map(wearer.caution_told, rest)]))
    parts.append(text.wrap(
        "All of this is common practice without a source. The product's safety data sheet, local rules and "
        "licensed practice come first."
    ))  # fmt: skip
    return "\n\n".join(part for part in parts if part)


def _line(one: Advice, job: Job, palette: Palette, alike: set[str]) -> str:
    line = job.lines[one.line - 1]
    stone = palette.stones[line.stone]
    suits = {"yes": "suits", "with care": "suits with care", "no": "DOES NOT SUIT"}[one.suits]
    said = [f"{one.line}. {stone.name}, {line.size}: {one.fixing} {suits}."]
    said += [remark for remark in one.says if remark not in alike]
    if not one.stones:
        said.append("On no area yet.")
    else:
        glue = "" if one.glue_ml is None else f", {between(*one.glue_ml, 'ml', 1)} of glue"
        many = "1 stone" if one.stones == 1 else f"{one.stones:,} stones"
        said.append(f"{many}{glue}, {hours_told(*one.hours)}.")
    return text.wrap(" ".join(said), 5, "  ")


def _quantities(lines: tuple[Advice, ...]) -> str:
    said = []
    glue = [one.glue_ml for one in lines if one.glue_ml is not None]
    if glue and sum(one.stones for one in lines):
        low, high = (sum(part) for part in zip(*glue, strict=True))
        said.append(
            text.wrap(
                f"Glue in all: {between(low, high, 'ml', 1 if high < 10 else 0)}. {glue_basis()}", 4, "  "
            )
        )
    said.append(text.wrap(lines[0].cures, 4, "  "))
    return "\n".join([text.heading("How much and how long"), *said])


def _data(found: Covered, lines: tuple[Advice, ...], rest: tuple[Caution, ...]) -> dict[str, Any]:
    job = found.job
    return {
        "schema": "planner fixing 1",
        "job": {"file": str(found.file.path), "title": job.title, "fixing": job.fixing, "fibre": job.fibre,
                "wearer": job.wearer, "use": list(job.use)},
        "wearer": wearer.data(found.worn),
        "lines": [
            {
                "line": one.line, "stones": one.stones, "fixing": one.fixing, "suits": one.suits,
                "says": list(one.says), "glue_ml": None if one.glue_ml is None else list(one.glue_ml),
                "hours": list(one.hours), "cures": one.cures,
            }
            for one in lines
        ],
        "cautions": [wearer.caution_data(one) for one in rest],
    }  # fmt: skip
