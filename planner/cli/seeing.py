"""Colours that a person saw, as the commands about samples take and tell them."""

from typing import Any

import click

from planner.fitting.sight import Sight, Source, sight


def seen_as(text: str, source: Source, option: str) -> Sight:
    """Return what was seen, or refuse the option by which it was typed."""
    try:
        return sight(text, source)
    except ValueError as problem:
        raise click.BadParameter(str(problem), param_hint=option) from None


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
