"""What the form of the costume asks for: one item for each field of a job or of its present pairing."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Final, Literal, get_args

from planner.app.form.entry import Entry
from planner.app.state import State
from planner.catalogue import by_hand
from planner.catalogue.by_hand import whole_number
from planner.job.model import Fibre, Fixing, Wearer
from planner.refusal import InvalidValue, show

_MONTHS: Final = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
    "november", "december",
)  # fmt: skip


def day_of(text: str) -> date | None:
    """Return a day as written: 2027-03-14, 14 March 2027 or 14.3.2027; None for nothing.

    Raises
    ------
    ValueError
        If it is no day, or could be read in two ways, as 3/4/2027 can.

    """
    if not text:
        return None
    wrong = InvalidValue(
        f"found {show(text)}; a day must be written like 2027-03-14, 14 March 2027 or 14.3.2027"
    )
    if match := re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", text):
        year, month, day = map(int, match.groups())
    elif match := re.fullmatch(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})", text):
        day, month, year = map(int, match.groups())
    elif match := re.fullmatch(r"(\d{1,2})\.? ([a-z]{3,9})\.?,? (\d{4})", text.lower()):
        day, year = int(match[1]), int(match[3])
        month = next((i for i, name in enumerate(_MONTHS, 1) if name.startswith(match[2])), 0)
    else:
        raise wrong
    try:
        return date(year, month, day)
    except ValueError:
        raise InvalidValue(f"found {show(text)}; there is no such day") from None


def day_in_words(value: date | None) -> str:
    """Return a day with its weekday; nothing for none."""
    return "" if value is None else f"{value:%A}, {value.day} {value:%B %Y}"


def _share(text: str) -> float:
    return round(by_hand.number(text, "%") / 100.0, 6)


def _amount(text: str) -> Decimal | str | None:
    try:
        return by_hand.figure(text) if text else None
    except InvalidValue:
        return text  # the field itself says what an amount is


def _plain(value: object) -> str:
    return "" if value is None else str(value)


_YES: Final = {"yes": True, "y": True, "no": False, "n": False}


def _yes(text: str) -> bool:
    if text.lower() not in _YES:
        raise InvalidValue(f"found {show(text)}; one seller must be yes or no")
    return _YES[text.lower()]


def _uses(text: str) -> tuple[str, ...]:
    return tuple(re.findall(r"above people|[^\s,]+", text.lower()))


@dataclass(frozen=True)
class Item:
    """One field of the job, or of the pairing looked at."""

    part: Literal["job", "pairing"]
    field: str
    """Its name in the model, which says what it may hold."""
    label: str
    help: str
    value: Callable[[str], Any] = lambda text: text
    """The value that a text stands for; raises ValueError with a sentence."""
    shown: Callable[[Any], str] = _plain
    """The text that stands for a value."""
    said: Callable[[Any], str] = lambda _value: ""
    """How a value is understood, where its text is not plain."""
    among: tuple[str, ...] = ()
    """All that it may be, where that is a choice of words."""


def _one_of(item: str, field: str, label: str, text: str, words: tuple[str, ...]) -> Item:
    def value(typed: str) -> str:
        if typed.lower() not in words:
            raise InvalidValue(f"found {show(typed)}; {item} must be {', '.join(words[:-1])} or {words[-1]}")
        return typed.lower()

    return Item("job", field, label, text, value, among=words)


ITEMS: Final = (
    Item("job", "title", "Title", "What the costume is called."),
    Item("job", "event", "Day", "Day it is first worn, such as 14 March 2027; empty if not known yet.",
         day_of, said=day_in_words),
    Item("job", "stones_by", "Stones by", "Day the stones must be here; if empty, worked out from the day.",
         day_of, said=day_in_words),
    Item("job", "note", "Note", "Anything worth remembering of the costume, up to 400 characters."),
    Item("pairing", "note", "This pairing", "Anything worth remembering of the pairing looked at."),
    Item("job", "client", "For", "Who the costume is for; leave it empty if that is open."),
    Item("job", "maker", "Made by", "Who makes it; printed on the page, and beside what is accepted."),
    _one_of("the wearer", "wearer", "Worn by",
            "adult, 12 or younger, or under 3: lead and small parts are not for children.",
            get_args(get_args(Wearer)[0])),
    Item("job", "use", "Meets", "What it meets: any of touch, wash, ice, floor, above people, or nothing.",
         _uses, ", ".join),
    _one_of("the fibre", "fibre", "Fibre", f"What the cloth is made of: {', '.join(get_args(Fibre))}.",
            get_args(Fibre)),
    _one_of("the way to fix", "fixing", "Fixed by", "How the stones are fixed: glue or hot-fix.",
            get_args(Fixing)),
    Item("job", "currency", "Currency", "Three capital letters, such as EUR; all costs are shown in it.",
         str.upper),
    Item("job", "budget", "Budget", "Most that the stones may cost, delivered; empty for no limit.", _amount),
    Item("job", "hourly_rate", "An hour", "What an hour of your work costs; empty leaves work out.", _amount),
    Item("job", "spares", "Spares", "Per cent bought on top of the pattern, for losses while setting.",
         _share, lambda value: f"{100 * value:g} %"),
    Item("job", "repair", "Repairs", "Stones of each pairing and size kept for repairs.", whole_number),
    Item("job", "one_seller", "One seller", "yes: each pairing and size from one delivery; no: mixed.",
         _yes, lambda value: "yes" if value else "no", among=("yes", "no")),
)  # fmt: skip
"""Every field in the order of the form."""


def entries(state: State) -> tuple[Entry, ...]:
    """Return the lines of the form, filled in as the state is."""
    return tuple(_entry(item, state) for item in ITEMS)


def answered(state: State, texts: Mapping[str, str]) -> State:
    """Return the state with the answers of the form, as one change.

    Raises
    ------
    ValueError
        If one of them is refused.

    """
    changes: dict[str, dict[str, Any]] = {"job": {}, "pairing": {}}
    for item in ITEMS:
        text = texts[_name(item)]
        if text != item.shown(_now(item, state)):
            changes[item.part][item.field] = item.value(text)
    return state.with_both(changes["job"], changes["pairing"])


def _entry(item: Item, state: State) -> Entry:
    def check(text: str) -> str:
        value = item.value(text)
        change = {item.field: value}
        state.with_both(*((change, {}) if item.part == "job" else ({}, change)))
        return item.said(value)

    return Entry(_name(item), item.label, item.help, item.shown(_now(item, state)), check, item.among)


def _name(item: Item) -> str:
    return f"{item.part}-{item.field}"


def _now(item: Item, state: State) -> Any:
    return getattr(state.job if item.part == "job" else state.pairing, item.field)
