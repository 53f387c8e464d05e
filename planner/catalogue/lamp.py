"""A lamp as people name it: its kind and colour temperature, dimmed or not, with or without a filter."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, model_validator

from planner.catalogue.errors import suggest
from planner.catalogue.fields import Hex, Part, Table, check_hex, quantity, spectrum_rows
from planner.data import shared
from planner.refusal import InvalidValue, show

LEAST_PASSED = 0.001
"""A filter must let through more than this somewhere from 400 to 700 nm (our choice)."""


@dataclass(frozen=True)
class LampKind:
    """What ``shared/lamp_kinds.toml`` says of one kind of lamp."""

    words: tuple[str, ...]
    """What people call it."""

    spectrum: str
    """What its spectrum is made of: filament, daylight, members, phosphor or primaries."""

    kelvin: tuple[float, float]
    """Lowest and highest colour temperature, K."""

    usual: float
    """Colour temperature where none is said, K."""

    members: tuple[str, ...] = ()
    """CIE illuminants that it lies between, the warmest first."""

    size: float | None = None
    """Angular diameter of one lamp, degrees, wherever it hangs; None where its place decides."""

    hangs: str | None = None
    """The place that is meant by overhead, or by none; None where it is as said."""

    @property
    def mixes_colours(self) -> bool:
        """Whether it can be set to a colour."""
        return self.spectrum == "primaries"


@cache
def lamp_kinds() -> Mapping[str, LampKind]:
    """Return the kinds of lamp by name, such as "phosphor LED"."""
    data = tomllib.loads(shared("lamp_kinds.toml").read_text(encoding="utf-8"))
    return MappingProxyType({
        name: LampKind(
            words=tuple(one["words"]),
            spectrum=one["spectrum"],
            kelvin=(float(one["kelvin"][0]), float(one["kelvin"][1])),
            usual=float(one["usual"]),
            members=tuple(one.get("members", ())),
            size=one.get("size"),
            hangs=one.get("hangs"),
        )
        for name, one in data.items()
    })  # fmt: skip


def _check_kind(value: Any) -> Any:
    if not isinstance(value, str) or value not in lamp_kinds():
        raise InvalidValue(
            f"found {show(value)}; there is no such kind of lamp: {suggest(str(value), lamp_kinds())}"
        )
    return value


_check_rows = spectrum_rows("a transmittance", least=0.0, most=1.0)


def _check_filter(value: Any) -> Any:
    """Return a colour or a table of transmittance, or refuse it."""
    if isinstance(value, str):
        if check_hex(value) == "#000000":
            raise InvalidValue('found "#000000"; a black filter lets nothing through')
        return check_hex(value)
    if not isinstance(value, list | tuple):
        raise InvalidValue(
            f"found {show(value)}; a filter must be a colour such as #ff8800, or rows of [nm, transmittance]"
        )
    rows = _check_rows.func(value)  # type: ignore[call-arg]  # the check takes the value alone
    if all(passed <= LEAST_PASSED for nm, passed in rows if 400.0 <= nm <= 700.0):
        raise InvalidValue(
            f"found no transmittance above {LEAST_PASSED:g} from 400 to 700 nm; that is no filter"
        )
    return rows


class Lamp(Part):
    """A lamp by its kind. Its colour temperature is that of the open lamp at full."""

    kind: Annotated[str, BeforeValidator(_check_kind)]
    """One of `lamp_kinds`."""

    kelvin: Annotated[float, quantity("a colour temperature", "K", least=1000.0, most=25000.0)] | None = None
    """Correlated colour temperature at full and without the filter, within what the kind comes in."""

    colour: Hex | None = None
    """What an RGB LED is set to instead of a white: the chromaticity of an sRGB colour."""

    dim: Annotated[float, quantity("a dimmed lamp's share of its full light", above=0.0, most=1.0)] = 1.0
    """Light that is left, above 0 and at most 1: a filament gets warmer, other lamps keep their colour."""

    filter: Annotated[Hex | Table, BeforeValidator(_check_filter)] | None = None
    """Colour filter: its look in front of this lamp as sRGB, or rows of (nm, transmittance 0 to 1)."""

    @model_validator(mode="after")
    def _one_white(self) -> Self:
        kind = lamp_kinds()[self.kind]
        if self.colour is not None and not kind.mixes_colours:
            raise InvalidValue(
                f"found colour for the kind {show(self.kind)}; give it kelvin, and a filter for colour"
            )
        if (self.kelvin is None) == (self.colour is None):
            needs = "exactly one of kelvin and colour" if kind.mixes_colours else "kelvin"
            found = "kelvin and colour" if self.colour else "no kelvin"
            raise InvalidValue(f"found {found}; the kind {show(self.kind)} needs {needs}")
        if self.colour == "#000000":
            raise InvalidValue('found colour = "#000000"; a lamp set to black gives no light')
        least, most = kind.kelvin
        if self.kelvin is not None and not least <= self.kelvin <= most:
            raise InvalidValue(
                f"found kelvin = {self.kelvin:g}; the kind {show(self.kind)} comes from {least:g} to "
                f"{most:g} K"
            )
        return self
