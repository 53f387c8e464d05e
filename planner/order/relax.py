"""When an order cannot be made: why not, and the least that has to give for it to be.

What may give is the budget, the date, spares, and one seller for each pairing. Each is tried alone, and
together with others only where no single one is enough; every way out is an order, solved.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import combinations
from typing import Final, Literal, TypeAlias

from planner.cover.need import Need
from planner.order.packs import (
    TIME_LIMIT,
    Pairing,
    Programme,
    Solution,
    key_of,
    unmet,
)
from planner.order.solve import cheapest, fewest_short

Gives: TypeAlias = Literal["budget", "date", "spares", "sellers"]

GIVES: Final[tuple[Gives, ...]] = ("budget", "date", "spares", "sellers")
"""What can give, in the order in which equals are told."""


@dataclass(frozen=True)
class Words:
    """How pairings and money are told."""

    name: Callable[[Pairing], str]
    """A pairing with its size."""

    money: Callable[[Decimal], str]


@dataclass(frozen=True)
class Relaxation:
    """One way out."""

    gives: tuple[Gives, ...]

    text: str
    """What it takes, as a part of a sentence, such as "12.40 EUR more than the budget"."""

    effort: float
    """How much it takes, to rank by: the budget's excess as a share of it, days late as a share of the
    days there are, spares left out as a share of all stones, pairings parted as a share of all pairings;
    added up (our choice)."""

    programme: Programme
    """What it then asks."""

    solution: Solution


def reasons(programme: Programme, words: Words, *, time_limit: float = TIME_LIMIT) -> tuple[str, ...]:
    """Return why a programme has no order: one sentence for each need that cannot be met, or for the money.

    Raises
    ------
    TimeoutError
        If the cheapest order was not found in that time.

    """
    lacking = unmet(programme)
    if lacking:
        return tuple(_lack(programme, need, words) for need in lacking)
    found = cheapest(programme, time_limit=time_limit)
    if found is None or programme.budget is None or found.total <= programme.budget:
        return ()
    over = found.total - programme.budget
    text = (
        f"The cheapest order comes to {words.money(found.total)}, which is {words.money(over)} more than the "
        f"budget of {words.money(programme.budget)}."
    )
    return (text,)


def _lack(programme: Programme, need: Need, words: Words) -> str:
    """Return why one need cannot be met."""
    name, alone = words.name(key_of(need)), replace(programme, needs=(need,))
    if not any(one.fits == key_of(need) for one in programme.packs):
        return f"Nobody offers {name}."
    if not unmet(replace(alone, one_seller=False, samples=frozenset())):
        return f"No one seller can send all {need.count} of {name} in one delivery."
    if not unmet(replace(alone, within=None)):
        silent = sum(one.days is None for one in programme.packs if one.fits == key_of(need))
        say = "packs do not say when they arrive" if silent > 1 else "pack does not say when it arrives"
        says = f" ({silent} {say}: ask, and write the days into the offers)" if silent else ""
        there_are = _days(max(programme.within or 0, 0))
        return f"Not enough of {name} arrives in the {there_are} left{says}."
    most = sum(
        one.count * (one.most or 0)
        for one in programme.packs
        if one.fits == key_of(need) and one.delivery == "now"
    )
    return f"Only {most} of the {need.count} {name} are offered."


def relaxations(
    programme: Programme, words: Words, *, time_limit: float = TIME_LIMIT
) -> tuple[Relaxation, ...]:
    """Return the ways out for a programme that has no order, the one that takes least first.

    Empty where nothing helps: somebody must offer what is needed first.

    Parameters
    ----------
    programme
        What could not be ordered.
    words
        How pairings and money are told.
    time_limit
        Seconds for each programme that is solved.

    Raises
    ------
    TimeoutError
        If one of them was not solved in that time.

    """
    may = [one for one in GIVES if _can_give(programme, one)]
    for number in range(1, len(may) + 1):
        tried = (_relaxed(programme, gives, words, time_limit) for gives in combinations(may, number))
        found = [one for one in tried if one is not None]
        if found:
            return tuple(sorted(found, key=lambda one: one.effort))
    return ()


def _can_give(programme: Programme, what: Gives) -> bool:
    if what == "budget":
        return programme.budget is not None
    if what == "date":
        return programme.within is not None
    if what == "spares":
        return any(need.spares for need in programme.needs)
    return programme.one_seller and any(key_of(need) not in programme.samples for need in programme.needs)


def _relaxed(
    programme: Programme, gives: tuple[Gives, ...], words: Words, time_limit: float
) -> Relaxation | None:
    """Return the least relaxation by all of `gives`, or None where it does not help."""
    free = replace(
        programme,
        budget=None if "budget" in gives else programme.budget,
        one_seller=programme.one_seller and "sellers" not in gives,
    )
    for within in _dates(programme) if "date" in gives else (programme.within,):
        asked: Programme | None = replace(free, within=within)
        if "spares" in gives:
            asked = _with_fewer_spares(replace(free, within=within), time_limit)
        found = None if asked is None else cheapest(asked, time_limit=time_limit)
        if asked is not None and found is not None and (asked.budget is None or found.total <= asked.budget):
            return _told(programme, asked, found, gives, words)
    return None


def _dates(programme: Programme) -> Iterator[int]:
    """Yield the days after the last possible one on which something arrives, in order."""
    last = programme.within or 0
    yield from sorted({one.days for one in programme.packs if one.days is not None and one.days > last})


def _with_fewer_spares(programme: Programme, time_limit: float) -> Programme | None:
    """Return the programme with as few spares left out as it takes; None where leaving all out won't do."""
    if unmet(replace(programme, needs=tuple(Need(*key_of(one), one.worn) for one in programme.needs))):
        return None
    needs = fewest_short(programme, time_limit)
    return None if needs is None else replace(programme, needs=needs)


def _told(
    before: Programme, after: Programme, found: Solution, gives: tuple[Gives, ...], words: Words
) -> Relaxation | None:
    """Return a way out in words; None where one of its parts turned out not to be needed."""
    parts = {one: _PARTS[one](before, after, found, words) for one in gives}
    if any(effort <= 0.0 for _, effort in parts.values()):
        return None
    text = ", ".join(text for text, _ in parts.values())
    return Relaxation(gives, text, sum(effort for _, effort in parts.values()), after, found)


def _over(before: Programme, _after: Programme, found: Solution, words: Words) -> tuple[str, float]:
    budget = before.budget or Decimal(0)
    over = found.total - budget
    return f"{words.money(over)} more than the budget", float(over / (budget or 1))


def _late(before: Programme, after: Programme, _found: Solution, _words: Words) -> tuple[str, float]:
    late = (after.within or 0) - (before.within or 0)
    return f"{_days(late)} later", late / max(before.within or 0, 1)


def _fewer(before: Programme, after: Programme, _found: Solution, words: Words) -> tuple[str, float]:
    pairs = list(zip(before.needs, after.needs, strict=True))
    less = [
        f"{_part(was.spares - now.spares, was.spares)} spare {words.name(key_of(was))}"
        for was, now in pairs
        if now.spares < was.spares
    ]
    left_out = sum(was.spares - now.spares for was, now in pairs)
    return "without " + " and ".join(less), left_out / sum(was.count for was in before.needs)


def _part(left_out: int, of: int) -> str:
    return f"the {of}" if left_out == of else f"{left_out} of the {of}"


def _parted(_before: Programme, after: Programme, found: Solution, words: Words) -> tuple[str, float]:
    parted = [need for need in after.needs if len(sellers_of(found, key_of(need))) > 1]
    names = " and ".join(words.name(key_of(need)) for need in parted)
    return f"with {names} from more than one seller or delivery", len(parted) / len(after.needs)


_PARTS: dict[Gives, Callable[[Programme, Programme, Solution, Words], tuple[str, float]]] = {
    "budget": _over, "date": _late, "spares": _fewer, "sellers": _parted,
}  # fmt: skip


def sellers_of(solution: Solution, pairing: Pairing) -> set[tuple[str, str]]:
    """Return the seller and delivery of all packs that hold a pairing."""
    return {(one.pack.seller, one.pack.delivery) for one in solution.choices if one.pack.fits == pairing}


def _days(number: int) -> str:
    return f"{number} day{'' if number == 1 else 's'}"
