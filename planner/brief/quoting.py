"""A quote in a client's words: what it is made of, what it comes to, and what is not in it."""

from decimal import Decimal
from typing import Any

from planner.brief.gather import Gathered
from planner.brief.wording import Wording
from planner.cover.work import hours
from planner.order.quote import quoted


def quote(told: Gathered, words: Wording) -> dict[str, Any]:
    """Return its rows of words and money, and what is said below them."""
    job, say, terms = told.job, words.say.say, told.job.quote
    found = quoted(job, hours(job, told.needs).usual, told.cost.amount if told.cost else None)

    def money(amount: Decimal) -> str:
        return words.figures.money(amount, job.currency)

    def share(value: float) -> str:
        return words.figures.number(100.0 * value, 1)

    rows = []
    if found.stones is not None:
        rows.append([say("quote", "stones"), money(found.stones)])
    if found.rate is not None and found.work is not None:
        time = words.figures.number(float(found.hours), 1)
        rows.append([say("quote", "work", hours=time, rate=money(found.rate)), money(found.work)])
    rows += [[words.say.begin(name), money(amount)] for name, amount in found.charges]
    if terms is not None and found.margin:
        rows.append([say("quote", "margin", share=share(terms.margin)), money(found.margin)])
    says = [say("quote", "without", what=words.say.join(_unknown(told, words)))]
    if terms is not None and found.deposit:
        says.append(say("quote", "deposit", money=money(found.deposit), share=share(terms.deposit)))
    if terms is not None and terms.valid_until is not None:
        says.append(say("quote", "valid", day=words.figures.day(terms.valid_until)))
    total = [say("quote", "total"), money(found.total)]
    return {"title": say("quote", "title"), "rows": rows, "total": total, "says": says}


def _unknown(told: Gathered, words: Wording) -> list[str]:
    """Return everything that is not in the total, by name."""
    say, job, cost = words.say.say, told.job, told.cost
    found = []
    if cost is None or cost.amount is None:
        found.append(say("quote", "no_stones"))
    elif not cost.whole:
        found.append(say("quote", "some_stones"))
    if job.hourly_rate is None:
        found.append(say("quote", "no_work"))
    if cost is not None and cost.unsaid:
        found.append(words.unsaid(cost.unsaid))
    if job.quote is not None:
        found += job.quote.not_known
    return [*found, say("quote", "no_tax")]
