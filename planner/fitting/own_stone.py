"""A stone as its owner knows it: a name, a colour in words or digits, sizes, foil, and no chemistry."""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from planner.catalogue.cut import Cut
from planner.catalogue.keep import free_id
from planner.catalogue.stone import Stone
from planner.colour.difference import delta_e
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.body import look_of, without_gloss
from planner.fitting.sight import Placed
from planner.optics.arrays import Floats
from planner.swatch.taken import Taken
from planner.swatch.typed import from_text

USUAL_MATERIAL: Final = "glass"
USUAL_CUT: Final = "twelve"
"""What a stone is taken for where nobody says: the commonest kind (common practice, no source)."""

_JET: Final = 16.0
"""L* of a colour without hue below which a stone is jet: black cloth and black glass are 8 to 16."""

_HUELESS: Final = 8.0
"""C* below which so dark a colour counts as black and not as navy or wine (our choice)."""

_CLEAR: Final = frozenset({"clear", "crystal", "crystal clear", "transparent", "colourless", "colorless"})

_TOLD: Final = 4.0
"""ΔE00 from which it is told that a stone cannot have the colour it was given: plainly another shade."""


@dataclass(frozen=True, eq=False)
class OwnStone:
    """A stone made from what its owner said."""

    stone: Stone
    remarks: tuple[str, ...]
    """What was taken for granted or could not be, one sentence each."""
    heard: tuple[tuple[str, str], ...] = ()
    """Where the colour's name was guessed at: what it was taken as, then what else it may be."""


def own_stone(
    name: str, sizes: tuple[str, ...], cut: Cut, *, colour: str = "", seen_size: str | None = None,
    material: str = USUAL_MATERIAL, foil: str = "silver", entry_id: str = "",
) -> OwnStone:  # fmt: skip
    """Return a stone from its owner's words.

    Parameters
    ----------
    name
        As she calls it.
    sizes
        Those she has or can have, smallest first.
    cut
        Its cut.
    colour
        Of the uncoated stone in daylight, its gloss left out: digits, a name, "clear" or "jet"; heard in
        `name` where empty.
    seen_size
        The size that the colour is of; the middle one of `sizes` when not given.
    material, foil
        As an entry has them.
    entry_id
        Its id; made from the name when not given.

    Raises
    ------
    InvalidValue, ValueError
        If there is no colour in the name and none is given.

    """
    said = colour or name
    middle = seen_size or sizes[len(sizes) // 2]
    fields: dict[str, Any] = {
        "id": entry_id or free_id(name, (), "stone"), "name": name, "basis": "estimated",
        "material": material, "cut": cut.id, "foil": foil, "sizes": list(sizes),
    }  # fmt: skip
    if is_clear(said):
        return OwnStone(Stone.model_validate(fields), ())
    heard = from_text(said)
    remarks = list(heard.notes) if colour or heard.notes else []
    if _jet(heard):
        return OwnStone(
            Stone.model_validate({**fields, "opaque": True}),
            (*remarks, "A stone this dark is taken as jet: only its surface reflects."),
            heard.heard,
        )
    wanted = heard.colour.lab
    stone = Stone.model_validate({**fields, "colour": to_hex(lab_to_srgb(wanted)[0]), "seen_size": middle})
    at = Placed(stone, cut, middle)
    remarks += _reached(wanted, without_gloss(look_of(at), at))
    return OwnStone(stone, tuple(remarks), heard.heard)


def is_clear(said: str) -> bool:
    """Say whether a colour was said that is none: clear glass."""
    return " ".join(said.lower().split()) in _CLEAR


def _jet(heard: Taken) -> bool:
    L, a, b = heard.colour.lab
    return bool(_JET >= L and np.hypot(a, b) < _HUELESS)


def _reached(wanted: Floats, got: Floats) -> list[str]:
    """Return a sentence where glass cannot have the colour that was given."""
    if delta_e(got, wanted) < _TOLD:
        return []
    if got[0] > wanted[0]:
        return ["No glass of this cut looks that dark: the darkest of that hue is used."]
    return ["No foiled stone is that light or that vivid: the nearest possible is used."]
