"""What an entry looks like by the window: an uncoated stone, or a coating on jet and on clear glass."""

from functools import cache, lru_cache

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.colour.screen import lab_to_srgb, to_hex

_USUAL_CUT = "twelve"
_USUAL_SIZE = "SS20"


def hexes(entry: Stone | Coating, palette: Palette) -> tuple[str, ...]:
    """Return one "#rrggbb" of a stone's glass in its middle size, or two of a coating: on jet, on clear."""
    if isinstance(entry, Stone):
        return _stone(entry, palette.cuts[entry.cut])
    return _coating(entry, palette.cuts[_USUAL_CUT])


@lru_cache(maxsize=4096)
def _stone(stone: Stone, cut: Cut) -> tuple[str, ...]:
    from planner.fitting.body import look_of, without_gloss
    from planner.fitting.sight import Placed

    size = stone.seen_size or stone.sizes[len(stone.sizes) // 2]
    at = Placed(stone, cut, size)
    return (to_hex(lab_to_srgb(without_gloss(look_of(at), at))[0]),)


@lru_cache(maxsize=1024)
def _coating(coating: Coating, cut: Cut) -> tuple[str, ...]:
    from planner.reading.hand import in_hand, window
    from planner.reading.question import Question, typed_colour
    from planner.reading.rank import seen_labs

    paper = typed_colour("#eeeeee")
    found = []
    for stone in _bare(cut.id):
        asked = in_hand(Question(stone, cut, coating, _USUAL_SIZE, paper, paper, window(), 0.4))
        lab = next(lab for _, lab, _ in seen_labs(asked, [window()]))
        found.append(to_hex(lab_to_srgb(lab)[0]))
    return tuple(found)


@cache
def _bare(cut: str) -> tuple[Stone, Stone]:
    """Return jet and clear glass."""
    usual = {"basis": "estimated", "material": "glass", "cut": cut, "sizes": [_USUAL_SIZE]}
    return (
        Stone.model_validate({**usual, "id": "jet", "name": "Jet", "opaque": True}),
        Stone.model_validate({**usual, "id": "clear", "name": "Clear"}),
    )
