"""A stone: base glass, its body colour, material and cut, foiled or not."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from planner.catalogue.fields import (
    Entry,
    Flag,
    Hex,
    Table,
    exactly_one,
    file_name,
    identifier,
    quantity,
    spectrum_rows,
)
from planner.catalogue.sizes import check_size
from planner.refusal import InvalidValue

Material = Literal["acrylic", "glass", "lead-free crystal", "lead crystal"]
"""What the stone is made of; it decides the refractive index and dispersion."""

Size = Annotated[str, BeforeValidator(check_size)]
"""A stone size with millimetres in common use, kept as ``SS20``."""


class Stone(Entry):
    """A flat-back stone without its coating.

    Its body is clear unless exactly one of `colourants`, `spectrum`, `colour` or `opaque` is given.
    """

    material: Material
    """What it is made of."""

    cut: Annotated[str, identifier("the id of a cut")]
    """Id of its cut."""

    foil: Literal["silver", "aluminium", "none"] = "silver"
    """The mirror on its flat back."""

    back: Literal["glued", "air gap"] = "glued"
    """What is behind an unfoiled stone: glue in optical contact with the cloth, or air."""

    colourants: (
        Mapping[
            Annotated[str, identifier("the id of a colourant")],
            Annotated[float, quantity("a concentration", above=0.0, most=1000.0)],
        ]
        | None
    ) = Field(default=None, min_length=1, max_length=8)
    """Concentration of each colourant, above 0, in the unit ``shared/colourants.toml`` states for it."""

    spectrum: Annotated[Table, spectrum_rows("an internal transmittance", above=0.0, most=1.0)] | None = None
    """Internal transmittance (0 to 1, above 0) against nm, over `depth_mm` of the glass."""

    file: Annotated[str, BeforeValidator(file_name)] | None = None
    """A CSV or CGATS file beside the palette file (or below its folder) that `spectrum` was read from."""

    depth_mm: Annotated[float, quantity("a depth", "mm", above=0.0, most=100.0)] | None = None
    """Length of glass that `spectrum` was measured through, mm, above 0 and at most 100."""

    colour: Hex | None = None
    """What the glass of the uncoated stone looks like on average in daylight (D65), as sRGB, at `seen_size`;
    what its surface mirrors is left out, as a person leaves it out (CIE 015:2018, geometry de:8°)."""

    seen_size: Size | None = None
    """The size whose colour `colour` is: a larger stone is deeper in colour."""

    opaque: Flag = False
    """Jet: only its surface reflects."""

    body_spread: Annotated[float, quantity("a spread of body concentration", least=0.0, most=0.5)] = 0.1
    """Relative standard deviation of body concentration between lots, 0 to 0.5 (0.1: a guess, no source)."""

    sizes: Annotated[tuple[Size, ...], Field(min_length=1, max_length=60)]
    """Sizes it is offered in."""

    @property
    def colourless(self) -> bool:
        """Whether it is clear glass, which takes the colour of its film."""
        return not (self.opaque or self.colourants or self.spectrum or self.colour)

    @model_validator(mode="after")
    def _one_body(self) -> Self:
        if self.opaque and (self.colourants or self.spectrum or self.colour):
            raise InvalidValue(
                "found opaque = true beside a body colour; an opaque stone shows only its surface"
            )
        exactly_one(self, ("colourants", "spectrum", "colour"), or_none=True)
        _together(self, "spectrum", "depth_mm", "the depth it was measured through")
        _together(self, "colour", "seen_size", "the size it was seen at")
        if self.foil != "none" and self.back == "air gap":
            raise InvalidValue('found back = "air gap" on a foiled stone; back is only for foil = "none"')
        if len(set(self.sizes)) < len(self.sizes):
            raise InvalidValue("found the same size twice in sizes; list each once")
        return self


def _together(stone: Any, first: str, second: str, why: str) -> None:
    """Refuse one of two fields that mean nothing without each other."""
    if (getattr(stone, first) is None) != (getattr(stone, second) is None):
        given, absent = (second, first) if getattr(stone, first) is None else (first, second)
        raise InvalidValue(f"found {given} without {absent}; {first} needs {second}, {why}")
