"""A swatch: the colour a stone must match, and how well that colour is known."""

from typing import Annotated, Any, Self

from pydantic import BeforeValidator, model_validator

from planner.catalogue.errors import show
from planner.catalogue.fields import (
    Entry,
    Flag,
    Hex,
    Table,
    exactly_one,
    in_range,
    quantity,
    spectrum_rows,
    text,
)

UNCERTAINTY = {"invented": 0.0, "estimated": 5.0, "measured": 1.0}
"""ΔE00 (one standard deviation) taken for a swatch that states none, by its basis.

An invented colour is what it says, so 0. A photograph with white paper in it lands within about 5, and
a hand instrument on cloth, whose weave is uneven, within about 1 (common practice, no source).
"""

_check_lightness = in_range("L*", least=0.0, most=100.0)
_check_ab = in_range("a* or b*", least=-150.0, most=150.0)


def _check_lab(value: Any) -> Any:
    if not isinstance(value, list | tuple) or len(value) != 3:
        raise ValueError(f"found {show(value)}; a CIELAB colour must be a list of three numbers, [L, a, b]")
    lightness, *ab = value
    return (_check_lightness(lightness), *(_check_ab(one) for one in ab))


class Swatch(Entry):
    """A colour to match, exactly one of sRGB, CIELAB or a reflectance spectrum."""

    colour: Hex | None = None
    """sRGB, ``#rrggbb`` (D65, 2° observer)."""

    lab: Annotated[tuple[float, float, float], BeforeValidator(_check_lab)] | None = None
    """CIELAB for D65 and the 2° observer: L* 0 to 100, a* and b* −150 to 150."""

    spectrum: Annotated[Table, spectrum_rows("a reflectance", least=0.0, most=3.0)] | None = None
    """Reflectance against nm, 0 to 1 (up to 3 where cloth fluoresces)."""

    uncertainty: Annotated[float, quantity("an uncertainty", "ΔE00", least=0.0, most=50.0)] | None = None
    """ΔE00, one standard deviation, 0 to 50; when not given, `sd` takes it from the basis."""

    how: Annotated[str, text("an account of how it was got", most=200)] | None = None
    """How the colour was got, for a person."""

    fluorescent: Flag = False
    """Whether the cloth is neon: its colour is then known in daylight alone."""

    @property
    def sd(self) -> float:
        """Uncertainty in ΔE00, one standard deviation: as stated, else `UNCERTAINTY` by basis."""
        return UNCERTAINTY[self.basis] if self.uncertainty is None else self.uncertainty

    @model_validator(mode="after")
    def _one_colour(self) -> Self:
        exactly_one(self, ("colour", "lab", "spectrum"))
        return self
