"""What is asked of a quote, and what the answers make of the job."""

from collections.abc import Iterator, Mapping
from typing import Any

from planner.app.costume_form import day_in_words, day_of
from planner.app.form.entry import Entry
from planner.catalogue.by_hand import figure, number
from planner.catalogue.errors import build
from planner.catalogue.money import check_amount
from planner.job.model import Job
from planner.job.quote import Quote
from planner.refusal import InvalidValue, show


def asked(job: Job) -> tuple[Entry, ...]:
    """Return the lines of the form, filled in as the job is."""
    terms = job.quote or Quote()
    hours = "" if terms.hours is None else f"{terms.hours:g}"
    known = "; ".join(f"{name} {amount:f}" for name, amount in terms.charges)
    return (
        Entry("rate", "An hour", f"What an hour of your work costs, {job.currency}. Empty: it is left out.",
              "" if job.hourly_rate is None else f"{job.hourly_rate:f}", _checks(_amount)),
        Entry("hours", "Hours", "How long it takes you. Empty: the usual time to set the stones.", hours,
              _checks(_hours)),
        Entry("charges", "Charges", "Other charges that you know: fitting 40; courier 12.50.", known,
              lambda text: ", ".join(f"{name}: {amount:f}" for name, amount in _charges(text))),
        Entry("not_known", "Not known", "What is still to come and not known yet, named beside the total: "
              "alterations; travel.", "; ".join(terms.not_known), _checks(_names)),
        Entry("margin", "Margin", "Per cent on top of all that.", _share(terms.margin),
              _checks(lambda text: _terms(margin=_per_cent(text)))),
        Entry("deposit", "Deposit", "Per cent that is due before you begin.", _share(terms.deposit),
              _checks(lambda text: _terms(deposit=_per_cent(text)))),
        Entry("valid_until", "Valid until", "Last day on which it holds, such as 14 March 2027.",
              "" if terms.valid_until is None else terms.valid_until.isoformat(),
              lambda text: day_in_words(day_of(text))),
    )  # fmt: skip


def changes(texts: Mapping[str, str]) -> dict[str, Any]:
    """Return how a job changes by the answers.

    Raises
    ------
    Refusal
        If one of them is not understood.

    """
    terms = {
        "hours": _hours(texts["hours"]), "charges": dict(_charges(texts["charges"])) or None,
        "not_known": _names(texts["not_known"]) or None, "margin": _per_cent(texts["margin"]),
        "deposit": _per_cent(texts["deposit"]), "valid_until": day_of(texts["valid_until"]),
    }  # fmt: skip
    given = {name: value for name, value in terms.items() if value}
    return {"hourly_rate": _amount(texts["rate"]), "quote": _terms(**given) if given else None}


def _terms(**given: Any) -> Quote:
    return build(Quote, given, "the quote")


def _checks(value: Any) -> Any:
    """Return what refuses a text that is not understood, and says nothing of one that is."""

    def check(text: str) -> str:
        value(text)
        return ""

    return check


def _amount(text: str) -> Any:
    return check_amount(figure(text)) if text else None


def _hours(text: str) -> float | None:
    return number(text, "h") if text else None


def _charges(text: str) -> Iterator[tuple[str, Any]]:
    for part in filter(None, (one.strip() for one in text.split(";"))):
        name, _, amount = part.rpartition(" ")
        if not name:
            raise InvalidValue(
                f"found {show(part)}; say what it is for and how much: fitting 40; courier 12.50"
            )
        yield name.rstrip(":, "), _amount(amount)


def _names(text: str) -> list[str]:
    return [one.strip() for one in text.split(";") if one.strip()]


def _per_cent(text: str) -> float:
    return round(number(text, "%") / 100.0, 6) if text else 0.0


def _share(value: float) -> str:
    return f"{100 * value:g}" if value else ""
