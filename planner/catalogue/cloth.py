"""What kind of cloth a swatch is of, and what a kind needs to be told of it."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, Self, TypeAlias

from pydantic import BeforeValidator, model_validator

from planner.catalogue.errors import suggest
from planner.catalogue.fields import Part, check_hex, check_lab, quantity
from planner.data import shared
from planner.refusal import InvalidValue, show


@dataclass(frozen=True)
class ClothKind:
    """What ``shared/cloth_kinds.toml`` says of one kind of cloth."""

    id: str
    """Such as "velvet"."""

    says: str
    """One sentence for a person."""

    times: tuple[float, ...] = ()
    """Its light at each of `angles`, as a multiple of that at 45°; empty where it does not change so."""

    adds: tuple[float, ...] = ()
    """White light that its surface adds at each of `angles`, as a share of white cloth's."""

    lightness: float = 0.0
    """L*, one standard deviation, by which it differs in any light."""

    ab: float = 0.0
    """The same for a* and for b*."""

    @property
    def turns(self) -> bool:
        """Whether it looks different as it turns in the light of a lamp."""
        return bool(self.times or self.adds)


@cache
def _table() -> Mapping[str, Any]:
    return MappingProxyType(tomllib.loads(shared("cloth_kinds.toml").read_text(encoding="utf-8")))


@cache
def cloth_kinds() -> Mapping[str, ClothKind]:
    """Return the kinds of cloth by id; sizes are our choice."""
    return MappingProxyType({
        name: ClothKind(
            name, one["says"], tuple(one.get("times", ())), tuple(one.get("adds", ())),
            one.get("lightness", 0.0), one.get("ab", 0.0),
        )
        for name, one in _table()["kind"].items()
    })  # fmt: skip


def angles() -> tuple[float, ...]:
    """Return degrees between the eye and a lamp's mirror direction at which kinds are described."""
    return tuple(_table()["angles"])


def lets_through(stated: float | None) -> tuple[float, float]:
    """Return the share of light that passes a sheer cloth once, and its standard deviation."""
    table = _table()["lets_through"]
    return (table["usual"], table["usual_sd"]) if stated is None else (stated, table["stated_sd"])


@cache
def backings() -> Mapping[str, tuple[tuple[float, float, float], float]]:
    """Return CIELAB under D65 and its uncertainty (ΔE00) of what may lie behind a sheer cloth, by name."""
    table = tomllib.loads(shared("backings.toml").read_text(encoding="utf-8"))
    return MappingProxyType({
        name: ((one["lab"][0], one["lab"][1], one["lab"][2]), one["uncertainty"])
        for name, one in table.items()
    })  # fmt: skip


def _check_kind(value: Any) -> Any:
    if not isinstance(value, str) or value not in cloth_kinds():
        raise InvalidValue(
            f"found {show(value)}, which is no kind of cloth; allowed are {', '.join(cloth_kinds())}"
        )
    return value


def _check_colour(value: Any) -> Any:
    """Return a colour given as sRGB or CIELAB, or refuse it."""
    return check_hex(value) if isinstance(value, str) else check_lab(value)


def _check_backing(value: Any) -> Any:
    """Return the name of a backing with hyphens, or a colour, or refuse both."""
    if not isinstance(value, str) or value.startswith("#"):
        return _check_colour(value)
    name = "-".join(value.lower().split())
    if name not in backings():
        raise InvalidValue(
            f"found {show(value)}; a backing must be a colour or one of {', '.join(backings())}: "
            f"{suggest(name, backings())}"
        )
    return name


Lab: TypeAlias = tuple[float, float, float]
Colour: TypeAlias = Annotated[str | Lab, BeforeValidator(_check_colour)]
"""A colour: sRGB ``#rrggbb``, or CIELAB under D65 for the 2° observer, [L, a, b]."""

Backing: TypeAlias = Annotated[str | Lab, BeforeValidator(_check_backing)]
"""A key of `backings`, or a colour."""


class Cloth(Part):
    """The kind of a swatch's cloth; which other fields may be given depends on it."""

    kind: Annotated[str, BeforeValidator(_check_kind)]
    """One of `cloth_kinds`."""

    backing: Backing | None = None
    """Sheer: what it is worn over."""

    read_over: Backing | None = None
    """Sheer: what it lay on when its colour was got; the backing itself where this is not said."""

    lets_through: Annotated[float, quantity("a share of light let through", above=0.0, below=1.0)] | None = (
        None
    )
    """Sheer: share of the light that passes through it once, 0 to 1."""

    second: Colour | None = None
    """Two-tone: the colour of the other thread; the swatch's own is then that of the first alone."""

    @model_validator(mode="after")
    def _fields_of_the_kind(self) -> Self:
        for field, kind in (
            ("backing", "sheer"), ("read_over", "sheer"), ("lets_through", "sheer"), ("second", "two-tone"),
        ):  # fmt: skip
            if getattr(self, field) is not None and self.kind != kind:
                raise InvalidValue(f"found {field} for a {self.kind} cloth; only a {kind} one has it")
        if self.kind == "sheer" and self.backing is None:
            raise InvalidValue(
                "found no backing; a sheer cloth shows what lies behind it, so say what it is worn over: a "
                f"colour, or one of {', '.join(backings())}"
            )
        return self
