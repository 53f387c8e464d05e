"""The steps of the tour, from ``shared/tour.toml``."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from planner.app.places import PLACES
from planner.data import shared

SCREENS: Final = {
    "MainScreen": "main",
    "ConcernsScreen": "warnings",
    "InsteadScreen": "instead",
    "PairingsScreen": "pairings",
    "CoverScreen": "cover",
    "OrderScreen": "order",
    "BriefScreen": "brief",
}
"""What the steps call a screen, by the name of its class."""

CALLED: Final = {
    "main": "the main screen",
    "warnings": "the warnings (e)",
    "instead": "what to order instead (i)",
    "pairings": "all pairings ({pairings})",
    "cover": "the areas ({cover})",
    "order": "offers and order ({order})",
    "brief": "the client's page ({brief})",
}
"""What a person is told of a screen that they have left."""


@dataclass(frozen=True)
class Step:
    """One step."""

    at: str
    """The screen on which it is done, as `SCREENS` calls it."""
    see: str
    do: str
    press: tuple[str, ...] = ()
    """Keys that do it."""
    done: Mapping[str, str] = field(default_factory=dict)
    """What must hold when it is done; nothing for the last step."""


def steps() -> tuple[Step, ...]:
    """Return the steps in order, with the keys that the screens have."""
    keys = place_keys()
    read = tomllib.loads(shared("tour.toml").read_text(encoding="utf-8"))["step"]
    return tuple(
        Step(
            one["at"], one["see"], one["do"].format_map(keys),
            tuple(key.format_map(keys) for key in one.get("press", ())), one.get("done", {}),
        )
        for one in read
    )  # fmt: skip


def place_keys() -> dict[str, str]:
    """Return the keys of the main screen by the names of their places."""
    return {one.name: one.key for one in PLACES}
