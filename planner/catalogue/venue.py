"""A venue: lamps, surround, bounce from the floor, and how far the viewer is."""

from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Field, model_validator

from planner.catalogue.errors import suggest
from planner.catalogue.fields import (
    Entry,
    Hex,
    Name,
    Part,
    Table,
    exactly_one,
    quantity,
    spectrum_rows,
    whole,
)
from planner.catalogue.lamp import Lamp
from planner.colour.observer import illuminant_names
from planner.refusal import InvalidValue, show


def _check_illuminant(value: Any) -> Any:
    if not isinstance(value, str) or value not in illuminant_names():
        raise InvalidValue(
            f"found {show(value)}; no such CIE illuminant: {suggest(str(value), illuminant_names())}"
        )
    return value


class Spectrum(Part):
    """The spectrum of a light: exactly one of five ways to say it. Only its shape counts."""

    illuminant: Annotated[str, BeforeValidator(_check_illuminant)] | None = None
    """Name of a CIE illuminant, such as D65, A, FL11 or LED-B3."""

    kelvin: Annotated[float, quantity("a temperature", "K", least=1000.0, most=25000.0)] | None = None
    """A glowing filament: temperature of a black body, 1000 to 25000 K."""

    daylight: Annotated[float, quantity("a daylight temperature", "K", least=4000.0, most=25000.0)] | None = (
        None
    )
    """CIE daylight of a correlated colour temperature, 4000 to 25000 K."""

    table: Annotated[Table, spectrum_rows("a power", least=0.0)] | None = None
    """Relative power against nm, 0 or more."""

    lamp: Lamp | None = None
    """A lamp by its kind and colour temperature, dimmed or filtered."""

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        exactly_one(self, ("illuminant", "kelvin", "daylight", "table", "lamp"))
        if self.table and not any(power for _, power in self.table):
            raise InvalidValue("found a table of zeros; a light needs some power")
        return self


class Light(Part):
    """A lamp, or several alike."""

    name: Name
    """What it is."""

    spectrum: Spectrum
    """Its spectrum."""

    lux: Annotated[float, quantity("an illuminance", "lx", above=0.0, most=200000.0)]
    """All these lamps together, at the garment on a surface facing them, lx, above 0 and at most 200000."""

    elevation: Annotated[float, quantity("an elevation", "degrees", least=-90.0, most=90.0)]
    """Above the horizon of the garment, degrees, −90 to 90."""

    azimuth: Annotated[float, quantity("an azimuth", "degrees", least=-180.0, most=180.0)]
    """Round the garment, degrees, −180 to 180: 0 is towards the viewer, 90 to the viewer's right."""

    size: Annotated[float, quantity("an angular diameter", "degrees", above=0.0, most=180.0)]
    """True angular diameter of one lamp seen from the garment, degrees, above 0 and at most 180."""

    number: Annotated[int, whole("a number of lamps", 1, 1000)] = 1
    """How many such lamps, 1 to 1000."""

    spread: Annotated[float, quantity("a spread of lamps", "degrees", least=0.0, most=180.0)] = 0.0
    """Over how wide a part of the field they are spread, degrees, 0 to 180; 0 for a single lamp."""

    @model_validator(mode="after")
    def _spread_fits(self) -> Self:
        if self.number == 1 and self.spread > 0.0:
            raise InvalidValue(
                f"found spread = {self.spread:g} for one lamp; spread is for several, size for one"
            )
        if self.number > 1 and self.spread == 0.0:
            raise InvalidValue(
                f"found {self.number} lamps without spread; say over how many degrees they are spread"
            )
        return self


class Surround(Part):
    """Light from everywhere: sky, walls, haze."""

    lux: Annotated[float, quantity("an illuminance", "lx", least=0.0, most=200000.0)]
    """At the garment, lx, 0 to 200000."""

    spectrum: Spectrum
    """Its spectrum."""


class Floor(Part):
    """What bounces light up: ice, boards, a dance floor."""

    reflectance: Annotated[float, quantity("a reflectance", least=0.0, most=1.0)]
    """Luminous reflectance, 0 to 1."""

    colour: Hex | None = None
    """Its hue as sRGB; grey when not given. `reflectance` alone says how light it is."""


class Venue(Entry):
    """Where the garment is seen. The directions are those of a garment facing the viewer."""

    distance: Annotated[float, quantity("a distance", "m", above=0.0, most=500.0)]
    """Usual viewing distance, m, above 0 and at most 500."""

    lights: Annotated[tuple[Light, ...], Field(max_length=24)]
    """Lamps; may be empty where the surround gives all the light."""

    surround: Surround
    """Light from everywhere."""

    floor: Floor
    """Bounce from below."""

    @model_validator(mode="after")
    def _lit(self) -> Self:
        if not self.lights and self.surround.lux == 0.0:
            raise InvalidValue("found no light at all; give at least one of lights, or surround.lux above 0")
        return self
