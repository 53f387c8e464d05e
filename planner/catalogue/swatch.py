"""A swatch: the colour a stone must match, and how well that colour is known."""

from typing import Annotated, Self

from pydantic import BeforeValidator, model_validator

from planner.catalogue.cloth import Cloth
from planner.catalogue.fields import (
    Entry,
    Flag,
    Hex,
    Table,
    check_lab,
    exactly_one,
    file_name,
    quantity,
    spectrum_rows,
    text,
)

UNCERTAINTY = {"invented": 0.0, "estimated": 5.0, "measured": 1.0}
"""ΔE00 (one standard deviation) taken for a swatch that states none, by its basis.

An invented colour is what it says, so 0. A photograph with white paper in it lands within about 5, and
a hand instrument on cloth, whose weave is uneven, within about 1 (common practice, no source).
"""


class Swatch(Entry):
    """A colour to match, exactly one of sRGB, CIELAB or a reflectance spectrum (or a file of one)."""

    colour: Hex | None = None
    """sRGB, ``#rrggbb`` (D65, 2° observer)."""

    lab: Annotated[tuple[float, float, float], BeforeValidator(check_lab)] | None = None
    """CIELAB for D65 and the 2° observer: L* 0 to 100, a* and b* −150 to 150."""

    spectrum: Annotated[Table, spectrum_rows("a reflectance", least=0.0, most=3.0)] | None = None
    """Reflectance against nm, 0 to 1 (up to 3 where cloth fluoresces)."""

    file: Annotated[str, BeforeValidator(file_name)] | None = None
    """A CSV or CGATS file beside the palette file (or below its folder) that `spectrum` was read from."""

    uncertainty: Annotated[float, quantity("an uncertainty", "ΔE00", least=0.0, most=50.0)] | None = None
    """ΔE00, one standard deviation, 0 to 50; when not given, `sd` takes it from the basis."""

    how: Annotated[str, text("an account of how it was got", most=200)] | None = None
    """How the colour was got, for a person."""

    cloth: Cloth | None = None
    """What kind of cloth it is of; taken for matte where nobody says."""

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
