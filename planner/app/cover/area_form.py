"""What the form of an area asks for, by its shape and pattern, and the area that comes of it."""

from collections.abc import Callable, Mapping
from typing import Any, Final, get_args

from planner.app.form.entry import Entry
from planner.catalogue import by_hand
from planner.catalogue.errors import changed, checked, checked_field
from planner.catalogue.palette import Palette
from planner.cover.count import AreaCount, area_count
from planner.job import Job
from planner.job.area import MEASURES, SPACINGS, Area, Pattern, Shape
from planner.job.naming import name_for, with_name
from planner.refusal import InvalidValue, Refusal, show

Texts = Mapping[str, str]

SHAPES: Final = get_args(Shape)
PATTERNS: Final = get_args(Pattern)

_LINES: Final = ("single line", "double line")
_MEASURES: Final = tuple(dict.fromkeys(name for names in MEASURES.values() for name in names))
_NUMBERS: Final = {
    "surface_cm2": ("Surface, cm²", "Square centimetres of one such area, laid flat."),
    "width_cm": ("Width, cm", "Laid flat; of a circle, right across."),
    "height_cm": ("Height, cm", "Laid flat; of a triangle, from the width to its point."),
    "length_cm": ("Length, cm", "Laid flat, along the seam or down the sleeve."),
    "top_around_cm": ("Round the top, cm", "All round the sleeve at its upper end, laid flat."),
    "bottom_around_cm": ("Round the end, cm", "All round the sleeve at its lower end, laid flat."),
    "spacing_mm": ("Spacing, mm", "From the middle of a stone to the middle of the next."),
    "end_spacing_mm": ("Widens to, mm", "Spacing at the sparse end, from middle to middle."),
    "times": ("How many", "How many such areas there are: two sleeves, six motifs."),
    "stretch": ("Stretch across", "Worn width over width laid flat: 1 for none, 1.2 for a fifth more."),
    "stretch_down": ("Stretch down", "Worn height over height laid flat."),
}  # fmt: skip
_START: Final = {"name": "", "shape": "rectangle", "pattern": "scatter", "times": "1", "stretch": "1",
                 "stretch_down": "1"}  # fmt: skip


def texts_of(area: Area | None, job: Job) -> dict[str, str]:
    """Return what stands in the form at first: an area as it is, or what a new one begins with."""
    texts = dict.fromkeys(("name", "shape", *_MEASURES, "pattern", "spacing_mm", "end_spacing_mm"), "")
    if area is None:
        return {**texts, **_START, **{_part(n): "1" if n == 0 else "" for n in range(len(job.lines))}}
    for name in ("name", "shape", "pattern", *_NUMBERS):
        value = getattr(area, name)
        texts[name] = "" if value is None else f"{value:.10g}" if not isinstance(value, str) else value
    parts = dict(area.mix)
    for number, line in enumerate(job.lines):
        known = line.name in parts
        texts[_part(number)] = f"{parts[line.name or '']:.10g}" if known else ""
    return texts


def wanted(texts: Texts) -> tuple[frozenset[str], frozenset[str]]:
    """Return the measures and spacings that must be given, and those that may be."""
    shape, pattern = _word(texts["shape"]), _word(texts["pattern"])
    need: set[str] = set(MEASURES.get(shape, ()))  # type: ignore[call-overload]  # any text is looked up
    may: set[str] = set()
    if shape == "band" and pattern in {*_LINES, "motif"}:
        need, may = need - {"width_cm"}, {"width_cm"}
    if pattern == "motif":
        need, may = set(), need | may
    need |= set(SPACINGS.get(pattern, ()))  # type: ignore[call-overload]  # as above
    if pattern in _LINES:
        may |= {"spacing_mm"}
    return frozenset(need), frozenset(may)


def asked_for(texts: Texts) -> frozenset[str]:
    """Return the names of the lines that are shown for what was chosen so far."""
    need, may = wanted(texts)
    optional = frozenset({*_MEASURES, "spacing_mm", "end_spacing_mm"})
    return frozenset(texts) - optional | need | may


def entries(texts: dict[str, str], job: Job, palette: Palette, area: Area | None) -> tuple[Entry, ...]:
    """Return the lines of the form; `texts` is kept up to date by the form, and they look at it."""
    others = {one.name for one in job.areas if area is None or one.name != area.name}

    def named(text: str) -> str:
        if not text:
            raise InvalidValue("an area needs a name, such as Neckline")
        checked_field(Area, "name", text)
        if text in others:
            raise InvalidValue(f"found {show(text)}; there is such an area already, so it needs another name")
        return ""

    def line(name: str) -> Entry:
        label, text = _NUMBERS[name]
        return Entry(name, label, text, texts[name], _measured(name, texts))

    first = (
        Entry("name", "Name", "What you call it, such as Neckline or Left cuff.", texts["name"], named),
        Entry("shape", "Shape", f"{_either(SHAPES)}; a surface is square centimetres you know.",
              texts["shape"], _among("the shape", SHAPES), SHAPES),
    )  # fmt: skip
    pattern = Entry("pattern", "Pattern", f"How the stones lie: {_either(PATTERNS)}.", texts["pattern"],
                    _among("the pattern", PATTERNS, texts), PATTERNS)  # fmt: skip
    mix = tuple(
        Entry(_part(number), f"{number + 1} {_called(job, number, palette)}", _MIX, texts[_part(number)],
              _parted(texts))
        for number in range(len(job.lines))
    )  # fmt: skip
    return (
        *first, *map(line, _MEASURES), pattern, line("spacing_mm"), line("end_spacing_mm"), *mix,
        line("times"), line("stretch"), line("stretch_down"),
    )  # fmt: skip


_MIX: Final = "Its share of the mix by number of stones, such as 3 to another's 1; empty for none."


def with_area(texts: Texts, job: Job, area: Area | None) -> tuple[Job, Area]:
    """Return the job with the area that was filled in, in the place of `area` or after all, and that area.

    Lines that it takes are named where they have no name yet.

    Raises
    ------
    ValueError
        If it is no whole area yet, or stones would overlap; one sentence.

    """
    mix = []
    for number in range(len(job.lines)):
        if texts[_part(number)]:
            mix.append((name_for(job.lines[number], job), by_hand.number(texts[_part(number)])))
            job = with_name(job, number)
    if not mix:
        raise InvalidValue("the area takes no stones yet; give at least one pairing its share of the mix")
    need, may = wanted(texts)
    if missing := [_NUMBERS[name][0] for name in (*_MEASURES, "spacing_mm", "end_spacing_mm")
                   if name in need and not texts[name]]:  # fmt: skip
        raise InvalidValue(f"still to be filled in: {', '.join(missing)}")
    fields: dict[str, Any] = {name: texts[name] for name in ("name",)}
    fields |= {name: _word(texts[name]) for name in ("shape", "pattern")}
    for name in ({*need, *may} | {"times", "stretch", "stretch_down"}) & {*_NUMBERS}:
        if texts[name]:
            fields[name] = (
                by_hand.whole_number(texts[name]) if name == "times" else by_hand.number(texts[name])
            )
    made = checked(Area, {**fields, "mix": tuple(mix)})
    areas = [made if one == area else one for one in job.areas] if area else [*job.areas, made]
    after = changed(job, {"areas": tuple(areas)})
    area_count(made, after)
    return after, made


def so_far(texts: Texts, job: Job, area: Area | None) -> AreaCount | str:
    """Return what the area would take as it is filled in, or one sentence on what is missing."""
    try:
        after, made = with_area(texts, job, area)
        return area_count(made, after)
    except Refusal as problem:
        return str(problem)


def _measured(name: str, texts: dict[str, str]) -> Callable[[str], str]:
    def check(text: str) -> str:
        if not text:
            if name in {"times", "stretch", "stretch_down"} or name in wanted(texts)[0]:
                raise InvalidValue(f"{_NUMBERS[name][0].split(',')[0].lower()} is still to be filled in")
            return ""
        if name == "times":
            checked_field(Area, name, by_hand.whole_number(text))
            return ""
        value = by_hand.number(text)
        checked_field(Area, name, value)
        if name == "end_spacing_mm":
            _sparser(value, texts["spacing_mm"])
        return f"{value:g}, as it was understood" if "," in text else ""

    return check


def _sparser(value: float, dense: str) -> None:
    """Refuse a sparse end that is spaced less than the dense one."""
    try:
        least = by_hand.number(dense)
    except InvalidValue:  # the dense end says itself what is wrong with it
        return
    if value < least:
        raise InvalidValue(f"found {value:g} after {least:g}; the sparse end must be spaced at least as wide")


def _parted(texts: dict[str, str]) -> Callable[[str], str]:
    def check(text: str) -> str:
        if not text:
            return ""
        value = by_hand.number(text)
        if not 0.0 < value <= 10_000.0:
            raise InvalidValue(f"found {text}; a part of a mix must be above 0 and at most 10000, or empty")
        if _word(texts["pattern"]) == "motif" and value != int(value):
            raise InvalidValue(f"found {text}; a motif needs whole stones")
        return ""

    return check


def _among(what: str, words: tuple[str, ...], texts: dict[str, str] | None = None) -> Callable[[str], str]:
    def check(text: str) -> str:
        if _word(text) not in words:
            raise InvalidValue(f"found {show(text)}; {what} must be {_either(words)}")
        if texts is not None and _word(texts["shape"]) == "surface" and _word(text) in _LINES:
            raise InvalidValue("square centimetres have no edge for a line to follow; make the shape a band")
        return ""

    return check


def _called(job: Job, number: int, palette: Palette) -> str:
    line = job.lines[number]
    coating = palette.coatings.get(line.coating)
    film = "" if coating is None else f" + {coating.name}"
    return f"{line.size} {palette.stones[line.stone].name}{film}"


def _either(words: tuple[str, ...]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"


def _word(text: str) -> str:
    return " ".join(text.lower().split())


def _part(number: int) -> str:
    return f"part-{number}"
