"""What to ask a seller before an order is placed. A file of offers knows no lots, so none is ever claimed."""

from collections.abc import Sequence

from planner.order.claims import Circumstances, concerns
from planner.order.dates import Deadline
from planner.order.landed import Rates
from planner.order.order_plan import OrderLine
from planner.order.packs import Pairing

_OF_THE_ORDER = frozenset({"too-late", "not-round"})
"""Checks of an offer that an order answers itself; how many lots, only a job's counts make known."""


def asks(
    lines: Sequence[OrderLine], rates: Rates, due: Deadline, straddling: frozenset[Pairing],
    *, after_sample: frozenset[Pairing] = frozenset(),
) -> tuple[str, ...]:  # fmt: skip
    """Return what to ask the seller of one delivery, a sentence each, the lots first.

    Parameters
    ----------
    lines
        What is bought.
    rates
        The money of the order.
    due
        The day of the order and the day the stones are needed.
    straddling
        Pairings whose lots disagree.
    after_sample
        Pairings of which a sample was ordered before.

    """
    found = [*_lots(lines, after_sample), *_days(lines)]
    known = Circumstances(rates, due.today, needed=due.by, straddling=straddling)
    claims: dict[str, list[str]] = {}
    for line in lines:
        for one in concerns(line.offer, known):
            if one.code not in _OF_THE_ORDER:
                claims.setdefault(f"{one.text} {one.do}", []).append(str(line.offer.row))
    for text, rows in claims.items():
        found.append(f"Row{'s' if len(rows) > 1 else ''} {', '.join(rows)}: {text}")
    return tuple(found)


def _lots(lines: Sequence[OrderLine], after_sample: frozenset[Pairing]) -> list[str]:
    """Ask for one lot of every pairing of which there is more than one pack."""
    samples = dict.fromkeys(line.name for line in lines if line.sample)
    found = [
        f"Ask them to keep the rest of {name} back from the same batch as the sample." for name in samples
    ]
    packs: dict[str, int] = {}
    seen = {line.name for line in lines if line.offer.pairing in after_sample}
    for line in lines:
        packs[line.name] = packs.get(line.name, 0) + line.times
    for name, number in packs.items():
        all_of_it = {1: "the pack", 2: "both packs"}.get(number, f"all {number} packs")
        come = "comes" if number == 1 else "come"
        if name in seen:
            found.append(
                f"Ask them to confirm that {all_of_it} of {name} {come} from the same batch as the sample."
            )
        elif number > 1:
            found.append(f"Ask for {all_of_it} of {name} from one batch.")
    return found


def _days(lines: Sequence[OrderLine]) -> list[str]:
    return (
        ["Ask how many days delivery takes."] if any(one.offer.delivery_days is None for one in lines) else []
    )
