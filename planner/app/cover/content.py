"""What only the screen of the areas says: the areas as a list, a picture's caption, where to begin."""

from typing import Final

from textual.content import Content

from planner.app.cover.worker import Above
from planner.app.depth import Depth, hex_shown
from planner.assess import Guarded, guarded
from planner.catalogue.pairing import name_in
from planner.catalogue.palette import Palette
from planner.colour.screen import to_hex
from planner.cover.picture import LETTERS
from planner.job import Job
from planner.job.area import MEASURES, Area

FAINT: Final = "$foreground 65%"
_MEASURE: Final = {
    "surface_cm2": "{:g} cm²", "width_cm": "{:g}", "height_cm": "{:g}", "length_cm": "{:g}",
    "top_around_cm": "{:g}", "bottom_around_cm": "to {:g} round,",
}  # fmt: skip


def standing(job: Job, palette: Palette) -> tuple[Guarded, ...]:
    """Return what is severe for the wearer, and accepted by nobody for some line."""
    return tuple(one for one in guarded(job, palette) if one.standing)


def shape_text(area: Area) -> str:
    """Return shape and measures: "triangle 30 × 38 cm"."""
    given = [(name, getattr(area, name)) for name in MEASURES[area.shape]]
    said = [_MEASURE[name].format(value) for name, value in given if value is not None]
    if not said:
        return "motif"
    if area.shape == "surface":
        return said[0]
    if area.shape == "sleeve":
        return f"sleeve {said[0]} {said[1]} {said[2]} cm"
    if area.shape == "band":
        return f"band {', '.join(said[:1])} cm" if len(said) == 1 else f"band {said[0]} × {said[1]} cm"
    return f"{area.shape} {' × '.join(said)} cm"


def pattern_text(area: Area) -> str:
    """Return pattern and spacings: "gradient 8 to 26 mm"."""
    if area.spacing_mm is None:
        return area.pattern
    wide = "" if area.end_spacing_mm is None else f" to {area.end_spacing_mm:g}"
    return f"{area.pattern} {area.spacing_mm:g}{wide} mm"


def area_text(area: Area, stones: int | None) -> Content:
    """Return an area as two lines of the list."""
    times = f" × {area.times}" if area.times > 1 else ""
    count = "" if stones is None else f"  {stones:,}"
    return Content.assemble(
        (f"{area.name}{times}", "bold"), (count, "bold $success"), f"\n  {shape_text(area)}, ",
        (pattern_text(area), "$secondary"),
    )  # fmt: skip


def caption(found: Above, palette: Palette, depth: Depth) -> Content:
    """Return what a picture shows: its scale, and which mark is which pairing."""
    drawn = found.plan
    what = "all of it" if drawn.whole else "a part of it"
    parts: list[str | tuple[str, str]] = [
        (f"{what}: {drawn.shown_mm[0]:.0f} × {drawn.shown_mm[1]:.0f} mm", FAINT),
        (", one way to lay it" if drawn.area.pattern == "motif" else "", FAINT),
    ]
    total = sum(part for _, part in drawn.area.mix)
    for number, (line, (_, part)) in enumerate(zip(found.lines, drawn.area.mix, strict=True)):
        mark = (f"\n{LETTERS[number]} ", "bold") if plain(depth) else (
            "\n■ ", hex_shown(to_hex(found.stones[number].round().astype("uint8")), depth)
        )  # fmt: skip
        share = f"{part:g} in each" if drawn.area.pattern == "motif" else f"{100 * part / total:.0f} %"
        parts += [mark, name_in(palette, line.stone, line.coating, line.size), (f"  {share}", FAINT)]
    if plain(depth):
        parts.append(("\n· cloth; a capital is a stone's middle", FAINT))
    return Content.assemble(*parts)


def plain(depth: Depth) -> bool:
    """Return whether a picture is drawn in letters: colours would not tell its stones apart."""
    return depth in {"grey", "16"}


NO_AREAS: Final = Content.assemble(
    ("No areas yet.\n\n", "bold"),
    "Say where on the garment the stones go, one area after the other: its shape and measures, the pattern, "
    "and which of your pairings it takes. You see at once how many stones that needs, what they weigh and "
    "how long they take to set.\n\n",
    ("Press a to add the first.", "bold $primary"),
)
