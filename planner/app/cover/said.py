"""Areas, needs, work, cautions and ways of fixing, in words for the screen."""

from collections.abc import Iterable, Sequence
from typing import Final

from textual.content import Content

from planner.app.answer import SEVERITY
from planner.app.cover.figures import Above, Sums
from planner.app.depth import Depth, hex_shown
from planner.catalogue.coating import NONE
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size, sizes
from planner.colour.screen import to_hex
from planner.cover.picture import LETTERS
from planner.cover.practice import COMPARED, garments, in_gross, use_of
from planner.cover.sizes_picture import COIN_MM, USUAL, size_picture
from planner.fixing.advice import Advice, advice, glue_basis
from planner.fixing.caution import WEARER, Caution, accepting, cautions, wearer_cautions
from planner.job import Job, Line
from planner.job.area import MEASURES, Area

FAINT: Final = "$foreground 65%"
_TITLE: Final = "bold $primary"
_SUITS: Final = {"yes": "✓ suits", "with care": "~ suits, with care", "no": "✗ does not suit"}
_MEASURE: Final = {
    "surface_cm2": "{:g} cm²", "width_cm": "{:g}", "height_cm": "{:g}", "length_cm": "{:g}",
    "top_around_cm": "{:g}", "bottom_around_cm": "to {:g} round,",
}  # fmt: skip


def standing(job: Job, palette: Palette) -> tuple[Caution, ...]:
    """Return what is severe for the wearer, and accepted by nobody for some line."""
    return tuple(
        one for one in wearer_cautions(job, palette)
        if one.severity == "severe"
        and any(accepting(one, job.lines[number - 1]) is None for number in one.lines)
    )  # fmt: skip


def standing_text(found: Sequence[Caution], more: str) -> Content:
    """Return the gravest of them in one paragraph, and where the rest is."""
    if not found:
        return Content("")
    mark, word, style = SEVERITY["severe"]
    others = f" {len(found) - 1} more." if len(found) > 1 else ""
    return Content.assemble(
        (f"{mark} {word} for the wearer: ", f"bold {style}"), found[0].text, (f"{others} {more}", FAINT)
    )


def pairing_name(line: Line, palette: Palette) -> str:
    """Return what a line is called on the screen."""
    return _pairing(line.stone, line.coating, line.size, palette)


def _pairing(stone: str, coating: str, wide: str, palette: Palette) -> str:
    film = "" if coating == NONE else f" with {palette.coatings[coating].name}"
    return f"{palette.stones[stone].name}{film}, {wide}"


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
        (f"{what}: {drawn.mm * drawn.columns:.0f} × {drawn.mm * drawn.rows:.0f} mm", FAINT),
        (", one way to lay it" if drawn.area.pattern == "motif" else "", FAINT),
    ]
    total = sum(part for _, part in drawn.area.mix)
    for number, (line, (_, part)) in enumerate(zip(found.lines, drawn.area.mix, strict=True)):
        mark = (f"\n{LETTERS[number]} ", "bold") if plain(depth) else (
            "\n■ ", hex_shown(to_hex(found.stones[number].round().astype("uint8")), depth)
        )  # fmt: skip
        share = f"{part:g} in each" if drawn.area.pattern == "motif" else f"{100 * part / total:.0f} %"
        parts += [mark, pairing_name(line, palette), (f"  {share}", FAINT)]
    if plain(depth):
        parts.append(("\n· cloth; a capital is a stone's middle", FAINT))
    return Content.assemble(*parts)


def plain(depth: Depth) -> bool:
    """Return whether a picture is drawn in letters: colours would not tell its stones apart."""
    return depth in {"grey", "16"}


def needs_text(found: Sums, job: Job, palette: Palette, width: int) -> Content:
    """Return what is needed of each pairing and size."""
    wide = max(24, min(46, width - 37))
    rows: list[str | tuple[str, str]] = [
        (f"{'Stones needed':<{wide}}{'worn':>7}{'spare':>6}{'in all':>7}", _TITLE), ("  in gross", _TITLE)
    ]  # fmt: skip
    for one in found.needed:
        name = _pairing(one.stone, one.coating, one.size, palette)
        if len(name) >= wide:  # the size is what must not be lost
            tail = f", {one.size}"
            name = f"{name[: wide - len(tail) - 2]}…{tail}"
        rows.append(f"\n{name:<{wide}}{one.worn:>7,}{one.spares:>6,}")
        rows.append((f"{one.count:>7,}", "bold"))
        rows.append((f"  {in_gross(one.count)}", "$success"))
    rows.append((
        f"\nSpare: {100 * job.spares:g} % for loss, and {job.repair} of each for repairs. Packs come later.",
        FAINT,
    ))  # fmt: skip
    if found.unplaced:
        names = "; ".join(pairing_name(one, palette) for one in found.unplaced)
        rows.append((f"\nOn no area yet, so not counted: {names}.", "$warning"))
    return Content.assemble(*rows)


def work_text(found: Sums, job: Job) -> Content:
    """Return weight, hours and their cost, and the usual counts beside this one."""
    time = found.hours
    cost: tuple[str, str] = (" (j: what an hour costs, to see it as money)", FAINT)
    if time.cost is not None:
        cost = (f", {time.cost:,.2f} {job.currency} at {job.hourly_rate:,.2f} an hour", "bold")
    parts: list[str | tuple[str, str]] = [
        ("Weight and work, about\n", _TITLE), (f"{found.grams:,.0f} g", "bold"),
        (" of stones on the garment, without glue\n", FAINT),
        (f"{_hours(time.usual)}", "bold"), f" to set them by {job.fixing}", cost,
        (f"; {_hours(time.least)} to {_hours(time.most)} by the hand. {time.basis}\n\n", FAINT),
        ("Usual counts: common practice, no source\n", _TITLE),
        (f"yours      hides as much cloth as {found.alike:.1f} gross of {COMPARED}\n", "bold"),
    ]  # fmt: skip
    for one in garments():
        parts.append((f"{one.gross[0]} to {one.gross[1]} gross".ljust(16), "$secondary"))
        parts.append(f"of {one.size}  {one.name}")
        parts.append((f" ({one.note})\n" if one.note else "\n", FAINT))
    hidden = [one.hidden for one in found.areas if one.hidden is not None]
    if hidden:
        low, high = 100 * min(hidden), 100 * max(hidden)
        parts.append((f"Your areas hide {low:.0f} to {high:.0f} % of their cloth; ", FAINT))
        parts.append((f"readings reckon with {100 * job.cover:g} % (Cover, on the first screen).", FAINT))
    return Content.assemble(*parts)


def _hours(value: float) -> str:
    return f"{value:.1f} h" if value < 10 else f"{value:.0f} h"


NO_AREAS: Final = Content.assemble(
    ("No areas yet.\n\n", "bold"),
    "Say where on the garment the stones go, one area after the other: its shape and measures, the pattern, "
    "and which of your pairings it takes. How many stones that needs, what they weigh and how long they take "
    "to set is told at once.\n\n",
    ("Press a to add the first.", "bold $primary"),
)


def caution_text(one: Caution, job: Job) -> Content:
    """Return a caution with what to do, and who accepts it."""
    mark, word, style = SEVERITY[one.severity]
    which = ""
    if one.lines and len(job.lines) > 1:
        which = f" (pairing {', '.join(map(str, one.lines))})"
    parts: list[str | tuple[str, str]] = [
        (f"{mark} {word}{which}: ", f"bold {style}"), f"{one.text} ", (one.do, "$foreground 80%"),
    ]  # fmt: skip
    for number in one.lines:
        by = accepting(one, job.lines[number - 1])
        if by is not None:
            parts.append((f"\n✓ Accepted for pairing {number} by {by.who}: {by.why}", "$success"))
    return Content.assemble(*parts, "\n")


def fixing_text(job: Job, palette: Palette) -> Content:
    """Return the page on fixing: the wearer first, then each line, quantities, and what to be careful of."""
    found, all_of_them = advice(job, palette), cautions(job, palette)
    worn = [one for one in all_of_them if one.code in WEARER]
    rest = [one for one in all_of_them if one.code not in WEARER]
    parts: list[Content] = []
    if worn:
        who = "" if job.wearer == "adult" else f": a child {job.wearer}"
        parts += _chapter(f"The wearer{who}", (caution_text(one, job) for one in worn))
    cloth = "a cloth that is not known (j names it)" if job.fibre == "not known" else job.fibre
    if found:
        alike = set.intersection(*(set(one.says) for one in found))
        common = (Content(one) for one in found[0].says if one in alike)
        lines = (_advice(one, job, palette, alike) for one in found)
        parts += _chapter(f"{job.fixing.capitalize()} on {cloth}", [*common, *lines])
        parts += _chapter("How much, how long", [_glue(found), Content(found[0].cures)])
    parts += _chapter("Be careful", (caution_text(one, job) for one in rest))
    parts.append(Content.styled(
        "All of this is common practice without a source. The product's safety data sheet, local rules and "
        "licensed practice come first.", "bold",
    ))  # fmt: skip
    return Content("\n").join(parts)


def _chapter(title: str, texts: Iterable[Content]) -> list[Content]:
    said = [one for one in texts if one.plain]
    if not said:
        return []
    end = [] if said[-1].plain.endswith("\n") else [Content("")]
    return [Content.styled(title, _TITLE), *said, *end]


def _advice(one: Advice, job: Job, palette: Palette, alike: set[str]) -> Content:
    style = {"yes": "$success", "with care": "$warning", "no": "$error"}[one.suits]
    said = " ".join(remark for remark in one.says if remark not in alike)
    much = "On no area yet."
    if one.stones:
        glue = "" if one.glue_ml is None else f", {one.glue_ml[0]:.1f} to {one.glue_ml[1]:.1f} ml of glue"
        much = f"{one.stones:,} stones{glue}, {one.hours[0]:.1f} to {one.hours[1]:.1f} h."
    return Content.assemble(
        f"{one.line}  ", (pairing_name(job.lines[one.line - 1], palette), "bold"), "  ",
        (_SUITS[one.suits], style), (f"\n   {said}" if said else ""), (f"\n   {much}", FAINT),
    )  # fmt: skip


def _glue(found: Sequence[Advice]) -> Content:
    glue = [one.glue_ml for one in found if one.glue_ml is not None]
    if not glue or not any(one.stones for one in found):
        return Content("")
    low, high = (sum(part) for part in zip(*glue, strict=True))
    return Content.assemble((f"{low:.0f} to {high:.0f} ml of glue in all. ", "bold"), glue_basis())


def sizes_text(columns: int, mm: float, own: Iterable[str]) -> Content:
    """Return stone sizes in true proportion with what they are used for; the job's own are marked."""
    mine = set(own)
    names = [name for name in sizes() if name in mine or name in USUAL]
    parts: list[str | tuple[str, str]] = ["\n".join(size_picture(names, columns, mm)), "\n\n"]
    parts.append((
        f"The ring is {COIN_MM:g} mm across, as a one-euro coin is: hold one to it to compare.\n\n", FAINT
    ))  # fmt: skip
    for name in names:
        one = size(name)
        wide = f"about {one.nominal_mm:g}" if one.min_mm is None else f"{one.min_mm:g} to {one.max_mm:g}"
        parts.append((f"{'▸' if name in mine else ' '} {name:<6}", "bold" if name in mine else ""))
        parts.append(f"{wide + ' mm':<15}")
        parts.append((f"{use_of(name)}\n", FAINT))
    parts.append(("▸ on this costume. Uses are common practice, no source.", FAINT))
    return Content.assemble(*parts)
