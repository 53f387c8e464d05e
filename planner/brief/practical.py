"""The practical part of a brief: sizes true to scale, counts and cost, and what the wearer must know."""

from typing import Any

from planner.brief.gather import Gathered
from planner.brief.warning_rows import of_numbers, warning
from planner.brief.wording import Wording
from planner.catalogue.sizes import size as stone_size

MOST_DISCS = 8
"""Sizes drawn true to scale."""

MOST_NEEDS = 8
"""Counts told one by one; beyond, the sum alone."""


def cautioned(told: Gathered, words: Wording, *, reasons: bool = True) -> dict[str, Any]:
    """Return the cautions for who wears it, those on some of the lines with their numbers."""
    say = words.say.say
    items = []
    for one in told.cautions:
        caution = one.caution
        known = words.say.knows("caution", caution.code)
        text = say("caution", caution.code if known else "other", code=caution.code)
        if len(told.lines) > len(caution.lines) > 0:
            text = of_numbers(caution.lines, text, words)
        items.append(warning(caution.severity, text, one.accepted, words, reasons=reasons))
    return {"title": say("caution", "title"), "items": items, "defer": say("caution", "defer")}


def sizes(told: Gathered, words: Wording) -> dict[str, Any]:
    """Return the sizes, smallest first, and the ruler: 50 mm, or 2 inches on Letter."""
    say = words.say.say
    names = sorted({one.line.size for one in told.lines}, key=lambda one: stone_size(one).nominal_mm)
    names = names[:MOST_DISCS]
    items = [
        {"mm": stone_size(name).nominal_mm,
         "label": say("sizes", "item", size=name, mm=millimetres(stone_size(name).nominal_mm, words))}
        for name in names
    ]  # fmt: skip
    inches = told.job.paper == "Letter"
    length = words.figures.length(*((2, "inch") if inches else (50, "millimeter")), long=inches)
    return {
        "title": say("sizes", "title"),
        "items": items,
        "ruler_mm": 50.8 if inches else 50.0,
        "ticks": 16 if inches else 50,
        "every": 8 if inches else 10,
        "ruler": say("sizes", "ruler", length=length),
        "alt": say(
            "sizes", "alt", sizes=words.say.listed([str(one["label"]) for one in items]), length=length
        ),
    }


def millimetres(value: float, words: Wording) -> str:
    """Return a diameter with its unit."""
    return words.figures.length(value, "millimeter", 1)


def needed(told: Gathered, words: Wording) -> dict[str, Any] | None:
    """Return counts and cost, as far as they are known."""
    if not told.needs and told.cost is None:
        return None
    say, of = words.say.say, {(one.line.stone, one.line.coating): one.reading for one in told.lines}
    lines = []
    for need in told.needs[: MOST_NEEDS if len(told.needs) <= MOST_NEEDS else 0]:
        values = dict(
            pairing=words.pairing_of(of[need.stone, need.coating]), size=need.size,
            stones=_stones(need.count, words),
        )  # fmt: skip
        if need.spares:
            lines.append(say("need", "line_spares", spares=words.figures.number(need.spares), **values))
        else:
            lines.append(say("need", "line", **values))
    total = sum(one.count for one in told.needs)
    if len(told.needs) != 1 and total:
        lines.append(say("need", "total", stones=_stones(total, words)))
    return {
        "title": say("need", "title" if _priced(told) else "title_count"),
        "items": lines + _cost(told, words),
    }


def _priced(told: Gathered) -> bool:
    return told.cost is not None and told.cost.amount is not None


def _cost(told: Gathered, words: Wording) -> list[str]:
    cost, say = told.cost, words.say.say
    if cost is None:
        return []
    lines = []
    if cost.amount is not None:
        money = words.figures.money(cost.amount, cost.currency)
        unsaid = words.unsaid(cost.unsaid)
        lines.append(say("need", "cost_without" if unsaid else "cost", money=money, unsaid=unsaid))
        if not cost.whole:
            lines.append(say("need", "partly"))
    if cost.arrives is not None and cost.whole:
        lines.append(say("need", "arrives", day=words.figures.day(cost.arrives)))
    return lines


def _stones(count: int, words: Wording) -> str:
    return words.say.say("need", "stones", count, count=words.figures.number(count))
