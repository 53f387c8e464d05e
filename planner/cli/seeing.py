"""Colours that a person saw, as the commands about samples take and tell them."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import click

from planner.cli.stone_photos import Photos, data, marks_of, told
from planner.fitting.sight import Sight, Source, sight
from planner.refusal import Refusal


def seen_as(text: str, source: Source, option: str) -> Sight:
    """Return what was seen, or refuse the option by which it was typed."""
    try:
        return sight(text, source)
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint=option) from None


@dataclass(frozen=True, eq=False)
class Looked:
    """A colour, and what a photograph adds to it."""

    sight: Sight
    told: str = ""
    data: dict[str, Any] = field(default_factory=dict)


def typed_or_photographed(
    colour: str | None, source: Source, photos: Photos, on: Sequence[str], option: str, name: str
) -> Looked:
    """Return the colour of one kind of stone: typed as `option`, or off photographs.

    Raises
    ------
    click.UsageError, Refusal
        If neither or both are given, or a photograph cannot be read.

    """
    if not photos.paths:
        if on or photos.white:
            raise click.UsageError("--photo: is missing; --on and --white are places on a photograph")
        if colour is None:
            raise click.UsageError(f"{option}: is missing; give a colour, or a photograph with --photo")
        return Looked(seen_as(colour, source, option))
    if colour is not None:
        raise click.UsageError(f"{option}: give a colour or a photograph, not both")
    found = photos.found()
    read = photos.read(found, marks_of(name, on, found, "--on"))
    return Looked(read.kinds[name].seen, told(read), data(read))


def must_fit(fits: bool, why: str) -> None:
    """Refuse to save what explains nothing."""
    if not fits:
        raise click.BadParameter(f"{why} (run it without --save to see the nearest)", param_hint="--save")


def sight_data(seen: Sight) -> dict[str, Any]:
    """Return what was seen for programs."""
    return {
        "typed": seen.text, "source": seen.source, "lab": None if seen.lab is None else list(seen.lab),
        "family": seen.family, "error_dE00": seen.error,
    }  # fmt: skip
