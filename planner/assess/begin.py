"""A new job, begun on the best match of a person's own stones instead of on a stone that nobody chose."""

from dataclasses import dataclass, replace
from datetime import date

from planner.catalogue.coating import NONE
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Venue
from planner.colour.difference import delta_e
from planner.job.model import Job, Line
from planner.reading.looks import nearest_size
from planner.reading.question import Question, Wish, colour_called, typed_colour
from planner.reading.rank import Ranked, rank
from planner.refusal import Refusal

OFFERED = 5
"""Matches that are offered to begin with."""


@dataclass(frozen=True, eq=False)
class Begun:
    """A job with its first line, and what else that line could have been."""

    job: Job
    best: tuple[Ranked, ...]
    """The best matches, the one taken first; none where the swatch cannot be judged there."""
    own: bool
    """Whether they are a person's own stones; else she has none, and they are the demo's."""


def has_own_stones(palette: Palette) -> bool:
    """Say whether there is any stone of a person's own."""
    return any(kind == "stone" for kind, _ in palette.own)


def first_look(palette: Palette, *, swatch: str, venue: Venue, size: str, wish: Wish = "blend") -> Question:
    """Return what to read while all is ranked: the stone that looks nearest to the swatch, uncoated.

    Raises
    ------
    Refusal
        If the palette has no stone.

    """
    hers = replace(palette, mine=palette.mine or has_own_stones(palette)).offered.stones.values()
    if not hers:
        raise Refusal("There is no stone to begin with; add one first: planner stone add NAME --sizes …")
    colour = colour_called(swatch, palette)

    def apart(stone: Stone) -> float:
        if stone.colour is None:
            return float("inf")
        return float(delta_e(typed_colour(stone.colour).lab, colour.lab))

    stone = min(hers, key=apart)
    size = nearest_size(stone, size)
    return Question(
        stone, palette.cuts[stone.cut], None, size, colour, colour, venue, venue.distance, wish=wish
    )


def begin(
    palette: Palette, *, title: str, swatch: str, venue: Venue, size: str, wearer: str = "adult",
    event: date | None = None, wish: Wish = "blend",
) -> Begun:  # fmt: skip
    """Return a new job that opens on the best match.

    Parameters
    ----------
    palette
        What can be chosen.
    title
        What the costume is called.
    swatch
        Id of a swatch, or "#rrggbb".
    venue
        Where it is seen.
    size
        Of the stones; those not offered in it are taken in their nearest.
    wearer, event
        As a job has them.
    wish
        What the stones are to do beside the swatch.

    Raises
    ------
    Refusal
        If the palette has no stone.

    """
    mine = has_own_stones(palette)

    question = first_look(palette, swatch=swatch, venue=venue, size=size, wish=wish)
    best = rank(palette, question, mine=mine)[:OFFERED] if question.swatch_told else ()
    chosen = best[0].question if best else question
    line = Line(
        stone=chosen.stone.id, coating=chosen.coating.id if chosen.coating else NONE, size=chosen.size,
        wish=wish,
    )  # fmt: skip
    data = {"title": title, "swatch": swatch, "venues": (venue.id,), "wearer": wearer, "lines": (line,)}
    job = Job.model_validate({**data, **({} if event is None else {"event": event})})
    return Begun(job, tuple(best), mine)
