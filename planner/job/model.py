"""A job: one costume's choices."""

from datetime import date
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, Strict, model_validator

from planner.catalogue.coating import NONE
from planner.catalogue.errors import show
from planner.catalogue.fields import Part, check_hex, identifier, in_range, quantity, text
from planner.catalogue.stone import Size

Tolerance = Literal["arm", "seats", "family"] | float
"""How far a reading may be from the swatch: seen at arm's length, from the seats, still the same hue
family, or a number of ΔE00 (above 0 and at most 50)."""

_check_difference = in_range("a tolerance", "ΔE00", above=0.0, most=50.0)
_check_id = identifier("the id of a swatch").func


def _check_tolerance(value: Any) -> Any:
    if isinstance(value, str):
        if value not in {"arm", "seats", "family"}:
            raise ValueError(f'found {show(value)}; allowed are "arm", "seats", "family" or a number of ΔE00')
        return value
    return _check_difference(value)


def _check_colour(value: Any) -> Any:
    if isinstance(value, str) and value.startswith("#"):
        return check_hex(value)
    return _check_id(value)  # type: ignore[call-arg]  # it takes the value alone


Colour = Annotated[str, BeforeValidator(_check_colour)]
"""The id of a swatch, or a colour like ``#1a2b3c``."""

VenueId = Annotated[str, identifier("the id of a venue")]
Note = Annotated[str, text("a note", most=400, least=0)]


class Acceptance(Part):
    """A warning that somebody has looked at and accepted."""

    code: Annotated[str, identifier("the code of a warning")]
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

    lines: Annotated[tuple[Line, ...], Field(max_length=500)] = ()
    """The pairings."""

    @model_validator(mode="after")
    def _venues_once(self) -> Self:
        if len(set(self.venues)) < len(self.venues):
            raise ValueError("found the same venue twice in venues; list each once")
        return self
