"""What only the order screen says: where to begin, what is still missing, what a way out changes."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from textual.content import Content

from planner.catalogue.pairing import name_in
from planner.catalogue.palette import Palette
from planner.cover.need import Need
from planner.order.relax import Relaxation
from planner.reading.phrase import listed
from planner.say.document import Item, Section
from planner.say.names import day, money
from planner.say.order import way

FAINT: Final = "$foreground 70%"
NO_OFFERS: Final = Content.assemble(
    ("No offers yet. ", "bold"), "Press ", ("f", "bold $primary"),
    " and choose the file that you keep them in: a CSV file or a workbook, one pack in a row.\n\n",
    "Needed are columns for the seller, the number of stones and the price. Helpful are title, what they "
    "are made of, size, colour, coating, currency, shipping, duty, tax, handling, returns, delivery days. "
    "Names of columns may be your own; what was understood is shown under ", ("2", "bold $primary"), ".",
)  # fmt: skip


def asks_rates(without: Sequence[str], currency: str) -> Content:
    """Return what asks for rates of exchange."""
    if not without:
        return Content("")
    return Content.assemble(
        ("? ", "bold $secondary"), f"What does one {listed(without, 'or')} cost in {currency}? Press ",
        ("r", "bold $primary"), " and type it in; then those offers count.",
    )  # fmt: skip


def needed(needs: Sequence[Need], palette: Palette) -> Section:
    """Return the needs alone, while there are no offers."""

    def told(one: Need) -> str:
        name = name_in(palette, one.stone, one.coating, one.size)
        return f"{name}: {one.worn:,} worn and {one.spares:,} spare"

    return Section("The costume takes", tuple(Item(told(one)) for one in needs))


def no_areas(cover_key: str) -> Content:
    """Return where counts come from, in a job that has no areas."""
    where: tuple[Any, ...] = (
        ("Press Esc and then ", (cover_key, "bold $primary"), " to say where they go.")
        if cover_key
        else ("Add an [[area]] to the job file for each part of the garment; planner cover counts.",)
    )
    return Content.assemble(
        ("How many stones? ", "bold"),
        "The costume has no areas yet that take stones, so nothing can be ordered. ", *where,
    )  # fmt: skip


def way_out(one: Relaxation, changes: Mapping[str, Any], currency: str) -> Content:
    """Return a way out, what it then costs, and what it changes in the job."""
    sets = ", ".join(_SETS[field](value, currency) for field, value in changes.items())
    return Content.assemble(
        (way(one), "bold"), f": {money(one.solution.total, currency)} in all. ", (f"Sets {sets}.", FAINT)
    )


_SETS: Final[dict[str, Any]] = {
    "budget": lambda value, currency: f"the budget to {money(value, currency)}",
    "one_seller": lambda _value, _currency: "that sellers may be mixed",
    "stones_by": lambda value, _currency: f"the day of the stones to {day(value)}",
    "spares": lambda value, _currency: f"spares to {100 * value:g} %",
    "repair": lambda value, _currency: f"repairs to {value}",
}  # fmt: skip
