"""A coating: a film of a few hundred atoms' thickness, and how much it varies."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from planner.catalogue.fields import Entry, Part, quantity, text
from planner.refusal import InvalidValue, show

NONE = "none"
"""The id that means "uncoated"; no palette may define it."""


class Layer(Part):
    """One layer of a film."""

    material: Annotated[str, text("the name of a film material", most=40)]
    """Name of its material in ``shared/optical_constants.toml``."""

    nm: Annotated[float, quantity("a thickness", "nm", above=0.0, most=5000.0)]
    """Nominal thickness on a surface facing the source, nm, above 0 and at most 5000."""


class Lay(Part):
    """How the stones lay under the source, which decides how thin the film is on a slope."""

    kind: Literal["on axis", "off axis"] = "on axis"
    """Facing the source (or turned under it), or to one side of it, so that the crown differs all round."""

    evenness: Annotated[float, quantity("an evenness", least=0.0, most=1.0)] = 0.5
    """Power p, 0 to 1: thickness is nominal × cosᵖ of the facet's tilt from the source; 0 is even."""

    angle: Annotated[float, quantity("an angle off axis", "degrees", least=0.0, most=45.0)] = 0.0
    """How far off axis the source was, degrees, 0 to 45; 0 unless `kind` is off axis."""

    @model_validator(mode="after")
    def _angle_fits(self) -> Self:
        if (self.kind == "off axis") != (self.angle > 0.0):
            need = "needs an angle above 0" if self.kind == "off axis" else "has no angle"
            raise InvalidValue(
                f"found angle = {self.angle:g} with kind = {show(self.kind)}; {self.kind} {need}"
            )
        return self


class Coating(Entry):
    """A film stack. Default spreads are guesses without a source, wide on purpose."""

    where: Literal["crown", "foil", "both"] = "crown"
    """On the crown, between glass and foil, or both."""

    layers: Annotated[tuple[Layer, ...], Field(min_length=1, max_length=40)]
    """OUTERMOST FIRST, the layer furthest from the glass: on the crown the one the air touches."""

    lot_spread: Annotated[float, quantity("a spread between lots", least=0.0, most=0.5)] = 0.04
    """Relative standard deviation of thickness from lot to lot, 0 to 0.5."""

    stone_spread: Annotated[float, quantity("a spread between stones", least=0.0, most=0.5)] = 0.02
    """Relative standard deviation of thickness from stone to stone within a lot, 0 to 0.5."""

    index_spread: Annotated[float, quantity("a spread of optical thickness", least=0.0, most=0.5)] = 0.04
    """Relative uncertainty of index × nm, 0 to 0.5: published indices differ (titania films by 12 %)."""

    lay: Lay = Lay()
    """How it lies on sloping facets."""

    evenness_spread: Annotated[float, quantity("a spread of evenness", least=0.0, most=0.5)] = 0.15
    """Standard deviation of `lay.evenness` between lots, 0 to 0.5."""

    @model_validator(mode="after")
    def _not_reserved(self) -> Self:
        if self.id == NONE:
            raise InvalidValue('found id = "none", which always means uncoated; choose another id')
        return self
