"""What the colour of an uncoated stone says of its body, for ``planner stone``."""

from pathlib import Path

import click

from planner.catalogue.stone import Stone
from planner.cli.ask import called
from planner.cli.at_hand import palette_of
from planner.cli.keeping import along, keeping
from planner.cli.seeing import Photos, must_fit, typed_or_photographed
from planner.cli.text import tell
from planner.fitting.body import BodyFitted, Recipe, fit_body
from planner.fitting.sight import Source
from planner.refusal import Refusal
from planner.refusal import show as quoted
from planner.say.body import body_document
from planner.say.document import Document
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area


def show(
    *, colour: str | None, source: Source, on: tuple[str, ...], photos: tuple[Path, ...],
    white: tuple[Area, ...], grey: float | None, light: Light, material: str, cut: str, foil: str, size: str,
    save: str | None, over: bool, to: Path | None, body: str | None, palettes: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Print the bodies that give an uncoated stone its colour, and save one if asked."""
    kept = keeping(save, to, over=over, palettes=palettes)
    palette = palette_of(palettes)
    entry_id = "fitted" if kept is None else kept.id("stone", palette)
    shape = called("cut", cut, palette.cuts)
    clear = Stone.model_validate(
        {"id": entry_id, "name": kept.name if kept else "Fitted", "basis": "estimated", "material": material,
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
    if kept is not None:
        must_fit(fitted.fits, "no body gives this colour")
        saved = (Stone.model_validate({**chosen.stone.model_dump(exclude_unset=True), "id": entry_id}),)
        where = kept.keep(saved, with_them=along(saved, kept.file("stone"), palette))
    told = body_document(fitted, saved=saved, where=where)
    tell(Document("", (*looked.parts, *told.parts), {**told.data, **looked.data}), as_data=as_data)


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
