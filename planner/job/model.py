"""A job: one costume's choices."""

import re
from datetime import date
from typing import Annotated, Any, Final, Literal, Self

from pydantic import BeforeValidator, Field, Strict, model_validator

from planner.catalogue.coating import NONE
from planner.catalogue.errors import suggest
from planner.catalogue.fields import (
    Flag,
    Part,
    as_pairs,
    check_hex,
    file_beside,
    identifier,
    in_range,
    quantity,
    renamed,
    text,
    whole,
)
from planner.catalogue.money import Amount, Currency, Rate
from planner.catalogue.stone import Size
from planner.job.area import Area
from planner.job.quote import Quote
from planner.optics.lean import Lean
from planner.refusal import InvalidValue, show

Tolerance = Literal["arm", "seats", "family"] | float
"""How far a reading may be from the swatch: seen at arm's length, from the seats, still the same hue
family, or a number of ΔE00 (above 0 and at most 50)."""

OLD_WORDS: Final = {"under 12": "12 or younger"}
"""Words of older files for who wears it: rules on lead cover children of 12 too."""

OLD_CODES: Final = {
    "lead-under-12": "lead-12-or-younger", "small-parts-under-12": "small-parts-12-or-younger",
    "ask-lead-content": "ask-lead-and-cadmium",
}  # fmt: skip
"""Codes of older files, and what those warnings are called now."""

_LOCALE = re.compile(r"[a-z]{2,3}(?:_[A-Z][a-z]{3})?(?:_(?:[A-Z]{2}|[0-9]{3}))?(?:@[a-z]+)?")

_check_difference = in_range("a tolerance", "ΔE00", above=0.0, most=50.0)
_check_id = identifier("the id of a swatch").func
_check_text = text("the name of an outline", most=60).func


def _check_tolerance(value: Any) -> Any:
    if isinstance(value, str):
        if value not in {"arm", "seats", "family"}:
            raise InvalidValue(
                f'found {show(value)}; allowed are "arm", "seats", "family" or a number of ΔE00'
            )
        return value
    return _check_difference(value)


def _check_locale(value: Any) -> str:
    if not (isinstance(value, str) and _LOCALE.fullmatch(value)):
        raise InvalidValue(f"found {show(value)}; a locale must be a language and a region, such as en_GB")
    return value


def _check_colour(value: Any) -> Any:
    if isinstance(value, str) and value.startswith("#"):
        return check_hex(value)
    return _check_id(value)  # type: ignore[call-arg]  # it takes the value alone


def _check_outline(value: Any) -> Any:
    if isinstance(value, str) and value.lower().endswith(".svg"):
        return file_beside(value, "job", "bodice.svg")
    return _check_text(value)  # type: ignore[call-arg]  # it takes the value alone


Measure = Annotated[float, quantity("a measure of the wearer", "cm", least=20.0, most=250.0)] | None
"""Of the wearer; that of the outline as drawn when not given."""

Colour = Annotated[str, BeforeValidator(_check_colour)]
"""The id of a swatch, or a colour like ``#1a2b3c``."""

Wearer = Annotated[Literal["adult", "12 or younger", "under 3"], BeforeValidator(renamed(OLD_WORDS))]
"""Who wears it; lead glass and small parts are not for small children."""

Use = Literal["touch", "wash", "ice", "floor", "above people"]
"""What it meets: skin and hands, washing, and where a shed stone falls; above people, as in flight."""

Fibre = Literal[
    "cotton", "linen", "silk", "wool", "viscose", "polyester", "nylon", "elastane", "acrylic", "leather",
    "imitation leather", "mesh", "velvet", "metallic", "not known",
]  # fmt: skip
"""What the cloth is made of, which decides how stones may be fixed to it."""

Fixing = Literal["glue", "hot-fix"]
"""How the stones are fixed."""

VenueId = Annotated[str, identifier("the id of a venue")]
Note = Annotated[str, text("a note", most=400, least=0)]
FilePath = Annotated[str, text("the path of a file", most=1000, least=0)]


class Acceptance(Part):
    """A warning that somebody has looked at and accepted."""

    code: Annotated[str, BeforeValidator(renamed(OLD_CODES)), identifier("the code of a warning")]
    """Which warning."""

    who: Annotated[str, text("a person's name")]
    """Who accepts it."""

    why: Annotated[str, text("a reason", most=400)]
    """Why it is acceptable."""


class Line(Part):
    """One pairing on the costume: a stone, its coating and size, and what it is there for."""

    stone: Annotated[str, identifier("the id of a stone")]
    """Id of the stone."""

    coating: Annotated[str, identifier("the id of a coating")] = NONE
    """Id of the coating, or ``none``."""

    size: Size
    """Stone size, such as SS20."""

    wish: Literal["blend", "tone", "contrast"] = "blend"
    """What it should do beside the swatch: vanish into it, stay in its hue at another depth, or stand out."""

    lean: Lean | None = None
    """Where it sits: "flat front", "round the body" or "swinging", which decides how its stones lean to the
    viewer; as the areas say that take it, else round the body, when not given."""

    name: Annotated[str, identifier("the name of a line")] | None = None
    """What areas call it; needed once an area takes it."""

    note: Note = ""
    """Anything worth remembering, up to 400 characters."""

    accept: Annotated[tuple[Acceptance, ...], Field(max_length=50)] = ()
    """Warnings accepted for this line."""


class Job(Part):
    """One costume: what it must match, where it will be seen, and the pairings chosen so far."""

    title: Annotated[str, text("a title", most=120)]
    """What the costume is called."""

    event: Annotated[date, Strict()] | None = None
    """Day it is first worn."""

    swatch: Colour
    """Colour to match: id of a swatch, or ``#rrggbb``."""

    cloth: Colour | None = None
    """What the stones sit on, when it is not the swatch."""

    venues: Annotated[tuple[VenueId, ...], Field(min_length=1, max_length=20)]
    """Ids of venues; the first is the main one."""

    distance: Annotated[float, quantity("a distance", "m", above=0.0, most=500.0)] | None = None
    """Viewing distance, m, above 0 and at most 500; the main venue's when not given."""

    cover: Annotated[float, quantity("a cover", least=0.0, most=1.0)] = 0.3
    """Share of the cloth that stones hide, 0 to 1."""

    tolerance: Annotated[Tolerance, BeforeValidator(_check_tolerance)] = "seats"
    """How far a reading may be from the swatch: arm, seats, family, or ΔE00 above 0 and at most 50."""

    note: Note = ""
    """Anything worth remembering, up to 400 characters."""

    wearer: Wearer = "adult"
    """Who wears it."""

    use: Annotated[tuple[Use, ...], Field(max_length=5)] = ()
    """What it meets; any of touch, wash, ice, floor, above people."""

    fibre: Fibre = "not known"
    """What the cloth under the stones is made of."""

    fixing: Fixing = "glue"
    """How the stones are fixed."""

    currency: Currency = "EUR"
    """Currency that all costs are told in."""

    rates: Annotated[tuple[tuple[Currency, Rate], ...], as_pairs("rates"), Field(max_length=50)] = ()
    """What one unit of another currency costs in the job's own; in a file ``rates = { USD = 0.92 }``."""

    budget: Amount | None = None
    """Most that the stones may cost, landed, in the job's currency."""

    stones_by: Annotated[date, Strict()] | None = None
    """Day the stones must be there; worked out from the event when not given."""

    hourly_rate: Amount | None = None
    """What an hour of the maker's work costs, in the job's currency; not counted when not given."""

    quote: Quote | None = None
    """What a quote says beside the stones; in a file ``quote = { margin = 0.15, deposit = 0.3 }``."""

    spares: Annotated[float, quantity("a share of spares", least=0.0, most=1.0)] = 0.05
    """Stones bought over what the pattern takes, for loss while they are set, as a share."""

    repair: Annotated[int, whole("a repair packet", 0, 1440)] = 24
    """Stones of each pairing and size kept for repairs."""

    one_seller: Flag = True
    """Whether each pairing and size must come from one seller in one delivery."""

    offers: FilePath = ""
    """File of offers that the stones are bought from, from the job's folder; empty while there is none."""

    stock: FilePath = ""
    """File of the stones in the drawer, from the job's folder; empty while there is none."""

    client: Annotated[str, text("a person's name", most=120, least=0)] = ""
    """Who the brief is for."""

    maker: Annotated[str, text("a person's name", most=120, least=0)] = ""
    """Who makes the costume."""

    locale: Annotated[str, BeforeValidator(_check_locale)] = "en_GB"
    """Language and region of the brief: how numbers, dates and money are written."""

    paper: Literal["A4", "Letter"] = "A4"
    """Paper that the brief is printed on."""

    outline: Annotated[str, BeforeValidator(_check_outline)] | None = None
    """What the costume is drawn as: one of the planner's own outlines, or an SVG file beside the job."""

    height_cm: Measure = None
    """How tall the wearer is, cm; outlines are scaled to it."""

    chest_cm: Measure = None
    """Round the wearer's chest, cm."""

    waist_cm: Measure = None
    """Round the wearer's waist, cm."""

    hips_cm: Measure = None
    """Round the wearer's hips, cm."""

    lines: Annotated[tuple[Line, ...], Field(max_length=500)] = ()
    """The pairings."""

    areas: Annotated[tuple[Area, ...], Field(max_length=200)] = ()
    """Where on the garment the stones go."""

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        for what, values in (
            ("venue twice in venues", self.venues),
            ("use twice in use", self.use),
            ("name on two lines", [line.name for line in self.lines if line.name is not None]),
            ("name on two areas", [area.name for area in self.areas]),
        ):
            twice = next((one for place, one in enumerate(values) if one in values[:place]), None)
            if twice is not None:
                raise InvalidValue(f"found the same {what}, {show(twice)}; each may stand there once")
        return self

    @model_validator(mode="after")
    def _areas_know_their_lines(self) -> Self:
        names = {line.name for line in self.lines if line.name is not None}
        for area in self.areas:
            for name, _ in area.mix:
                if name not in names:
                    known = suggest(name, names) if names else f"a line gets one by name = {show(name)}"
                    raise InvalidValue(
                        f"found {show(name)} in the mix of the area {show(area.name)}; no line of the job "
                        f"has that name: {known}"
                    )
        return self
