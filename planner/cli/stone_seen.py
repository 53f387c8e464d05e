"""What the colour of an uncoated stone says of its body, for ``planner stone``."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from planner.catalogue.errors import show as quoted
from planner.catalogue.fields import Entry
from planner.catalogue.stone import Stone
from planner.cli import as_json, text
from planner.cli.ask import called, palette_of
from planner.cli.keeping import along, check, keep, kept
from planner.cli.seeing import must_fit, sight_data, typed_or_photographed
from planner.cli.stone_photos import Photos
from planner.colour.names import name_of
from planner.fitting.body import BodyFitted, Recipe, fit_body
from planner.fitting.sight import Source
from planner.refusal import Refusal
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area


def show(
    *, colour: str | None, source: Source, on: tuple[str, ...], photos: tuple[Path, ...],
    white: tuple[Area, ...], grey: float | None, light: Light, material: str, cut: str, foil: str, size: str,
    save: str | None, to: Path | None, name: str | None, body: str | None, palettes: Path | None,
    as_data: bool,
) -> None:  # fmt: skip
    """Print the bodies that give an uncoated stone its colour, and save one if asked."""
    to = check(save, name, to, "stone", palettes)
    palette = palette_of(palettes)
    shape = called("cut", cut, palette.cuts)
    clear = Stone.model_validate(
        {"id": "fitted", "name": name or save or "Fitted", "basis": "estimated", "material": material,
         "cut": cut, "foil": foil, "sizes": [size]}
    )  # fmt: skip
    taken = Photos(photos, white, grey, light)
    looked = typed_or_photographed(colour, source, taken, on, "--colour", save or "the stone")
    try:
        fitted = fit_body(looked.sight, clear, shape, size)
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--photo" if photos else "--colour") from None
    chosen = _chosen(fitted, body)
    saved, where = None, ""
    if save is not None and to is not None:
        must_fit(fitted.fits, "no body gives this colour")
        entry = Stone.model_validate({**chosen.stone.model_dump(exclude_unset=True), "id": save})
        beside = along((entry,), to, palette)
        saved = keep((entry,), to, palette, with_them=beside)
        where = kept(saved, to, palettes, beside)
    if as_data:
        click.echo(as_json.dumps({**_data(fitted, saved), **looked.data}))
    else:
        click.echo("\n\n".join(part for part in (looked.told, _told(fitted, where)) if part))


def _chosen(fitted: BodyFitted, body: str | None) -> Recipe:
    """Return the recipe asked for: a colourant's id, or smooth; the nearest when none is asked for."""
    if body is None:
        return fitted.recipes[0]
    known = {_called(one): one for one in fitted.recipes}
    if body not in known:
        raise click.BadParameter(
            f"found {quoted(body)}; with this colour it may be {', '.join(known)}", param_hint="--body"
        )
    return known[body]


def _called(recipe: Recipe) -> str:
    if recipe.colourants is None:
        return "smooth"
    return next(iter(recipe.colourants), "clear")


def _told(fitted: BodyFitted, where: str) -> str:
    error = fitted.seen.error
    lead = (
        "Bodies that give this colour, the likeliest first:"
        if fitted.recipes[0].apart <= error
        else f"No body gives this colour closely, but it is only known to ±{error:.0f}. The nearest, the "
        "likeliest first:"
        if fitted.fits
        else "No body gives this colour to an uncoated stone of that glass, cut and foil: look again whether "
        "it is uncoated, and the photograph's white. The nearest:"
    )
    parts = [text.wrap(lead), "\n".join(_recipe(place, one) for place, one in enumerate(fitted.recipes, 1))]
    unsure = fitted.unsure_when_warm
    if unsure >= 2.0:
        parts.append(
            text.wrap(
                f"Alike in daylight, these differ under warm lamps by up to ΔE00 {unsure:.0f}: look at the "
                "stone under one to tell."
            )
        )
    if where:
        parts.append(where)
    return "\n\n".join(parts)


def _recipe(place: int, one: Recipe) -> str:
    what = "a smooth absorption" if one.colourants is None else "clear"
    if one.colourants:
        (key, amount), *_ = one.colourants.items()
        what = f"{key} at {amount:g} (± {100 * one.spread:.0f} %)"
    warm = name_of(one.warm)
    return text.wrap(f"{what}: off by ΔE00 {one.apart:.1f}; {warm} under warm lamps", 4, f"{place:>3} ")


def _data(fitted: BodyFitted, saved: Sequence[Entry] | None) -> dict[str, Any]:
    return {
        "schema": "planner stone 1",
        "seen": sight_data(fitted.seen),
        "fits": fitted.fits,
        "bodies": [
            {"colourants": None if one.colourants is None else dict(one.colourants),
             "colour": one.stone.colour, "dE00": one.apart,
             "concentration_spread": one.spread, "warm_lab": list(one.warm)}
            for one in fitted.recipes
        ],
        "unsure_under_warm_lamps_dE00": fitted.unsure_when_warm,
        "saved": None if saved is None else [one.id for one in saved],
    }  # fmt: skip
