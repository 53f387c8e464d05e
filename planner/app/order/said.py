"""What the screen says: one offer and what to ask, how a file was read, and an order."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, Final

from textual.content import Content

from planner.app.answer import concern_text
from planner.app.order.bench import Planned, Table
from planner.app.parts.patch import cut
from planner.catalogue.palette import Palette
from planner.job.model import Job
from planner.order import order_list
from planner.order.columns import Column
from planner.order.landed import Alike, Priced, rounded
from planner.order.order_plan import OrderPlan, SellerOrder
from planner.order.relax import Relaxation
from planner.order.sample import sample_advised
from planner.order.worth import Worth, percent_of, verdict
from planner.reading.concern import Concern
from planner.reading.question import Question

FAINT: Final = "$foreground 70%"
_GAP: Final = Content("")
NO_OFFERS: Final = Content.assemble(
    ("No offers yet. ", "bold"), "Press ", ("f", "bold $primary"),
    " and choose the file that you keep them in: a CSV file or a workbook, one pack in a row.\n\n",
    "Needed are columns for the seller, the number of stones and the price. Helpful are title, what they "
    "are made of, size, colour, coating, currency, shipping, duty, tax, handling, returns, delivery days. "
    "Names of columns may be your own; what was understood is shown under ", ("2", "bold $primary"), ".",
)  # fmt: skip


def day(one: date | None) -> str:
    """Return a day as it is said."""
    return "a day nobody says" if one is None else f"{one:%a} {one.day} {one:%b %Y}"


def name_of(group: Alike, palette: Palette) -> str:
    """Return what a group of offers sells, by the palette's names where it is one of its pairings."""
    pairing = group.priced[0].offer.pairing
    if pairing is None or pairing[0] not in palette.stones:
        about = " (not round: its reading is approximate)" if group.approximate else ""
        return f"{group.what}{about}"
    stone, coating, size = pairing
    film = palette.coatings[coating].name if coating in palette.coatings else "uncoated"
    return f"{palette.stones[stone].name}, {film}, {size}"


def offer(one: Priced, concerns: Sequence[Concern], currency: str) -> Content:
    """Return an offer, what it costs and what to ask about it."""
    its, cost = one.offer, one.cost
    parts = [f"{its.count:,} stones for {rounded(cost.total)} {currency}: goods {rounded(cost.goods)}"]
    if cost.shipping is not None:
        parts.append(f"shipping {rounded(cost.shipping)}")
    if cost.import_charges:
        parts.append(f"import {rounded(cost.import_charges)}")
    price = ", ".join(parts)
    unsaid = f" Not in it, because nobody says: {', '.join(cost.missing)}." if cost.missing else ""
    back = {None: "returns not said", 0: "nothing goes back"}.get(
        its.returns, f"{its.returns} days to return"
    )
    comes = "delivery not said" if its.delivery_days is None else f"{its.delivery_days} days to come"
    lines = [
        Content.assemble((its.title or its.colour or "No title", "bold"), (f"  row {its.row}", FAINT)),
        Content(f"{price}.{unsaid} {its.seller}: {comes}, {back}."),
    ]
    said = [each for each in concerns if each.code != "before-import"]
    if its.note:
        lines.append(Content.styled(f"“{its.note}”", FAINT))
    lines += [concern_text(each, None, full=True) for each in said] or [
        Content.styled("✓ Nothing to ask that these checks find.", "$success")
    ]
    return Content("\n").join(lines)


def as_read(table: Table) -> Content:
    """Return which heading was taken for which field, and all that was not understood."""
    named = [one for one in table.columns if one.field is not None]
    plain = [_field(one) for one in named if one.heading.casefold() == _field(one)]
    known = [one for one in named if one.heading.casefold() != _field(one)]
    wide = max((len(one.heading) for one in known), default=0)
    lines = [Content.assemble((f"{table.path.name}: {table.count:,} offers", "bold")), _GAP]
    lines.append(Content.styled("Your columns, and what they were taken for", "bold $primary"))
    if plain:
        lines.append(Content(f"By their own names: {', '.join(plain)}."))
    for one in known:
        sure = " (guessed)" if one.guessed else ""
        lines.append(Content(f"  {cut(one.heading, 30).ljust(min(wide, 30))} → {_field(one)}{sure}"))
    unused = [one.heading for one in table.columns if one.field is None]
    if unused:
        lines.append(Content(f"  Not used: {', '.join(unused)}"))
    lines += _listed("Decided in reading", table.notes, len(table.notes))
    lines += _listed("Not understood", [f"{one}." for one in table.problems], table.problem_count, "✗")
    lines += _listed("No pairing of the palette", table.strange, table.strange_count)
    if not table.problems:
        lines += [_GAP, Content.styled("✓ Every row was understood.", "$success")]
    return Content("\n").join(lines)


def _field(one: Column) -> str:
    return str(one.field).replace("_", " ")


def _listed(title: str, said: Sequence[str], count: int, mark: str = "·") -> list[Content]:
    if not said:
        return []
    more = [Content(f"  and {count - len(said):,} more")] if count > len(said) else []
    head = Content.styled(f"{title} ({count:,})" if mark == "✗" else title, "bold $primary")
    return [_GAP, head, *(Content(f"{mark} {one[:1].upper()}{one[1:]}") for one in said), *more]


# The order.


def cautions(planned: Planned, job: Job, palette: Palette) -> Content:
    """Return what comes before any price: the wearer first, then what stands against a pairing."""
    lines = [
        concern_text(Concern(one.code, one.severity, one.text, one.do), by, full=True)
        for one, by in planned.wearer
    ]
    for number, found in planned.lines:
        line = job.lines[number - 1]
        for one, by in found:
            if by is None and (one.severity == "severe" or sample_advised([(one, by)])):
                name = f"{palette.stones[line.stone].name}, {line.size}"
                lines.append(Content.assemble((f"{name}  ", "bold"), concern_text(one, by, full=False)))
    return Content("\n").join([*lines, _GAP]) if lines else _GAP


def headline(plan: OrderPlan, found: Planned) -> Content:
    """Return the order in a line; it is no good one while a severe warning stands."""
    wearer = any(by is None and one.severity == "severe" for one, by in found.wearer)
    lines = any(by is None and one.severity == "severe" for _, told in found.lines for one, by in told)
    stands = wearer or lines
    spare = plan.days_to_spare
    there = "" if plan.arrives is None else f", all there on {day(plan.arrives)}"
    room = "" if spare is None else f", {spare} day{'' if spare == 1 else 's'} to spare"
    count = len(plan.parcels)
    heed = " · heed what stands above first" if stands else ""
    unsure = bool(plan.missing) or stands
    tone, mark = ("$warning", "~") if unsure else ("$success", "✓")
    first = " · sample first" if plan.sample_first else ""
    many = f"{count} deliver{'y' if count == 1 else 'ies'}"
    return Content.assemble(
        (f" {mark} ", f"bold reverse {tone}"),
        (f" {order_list.money(plan.total, plan)} in {many}{first}{there}{room}{heed}", f"bold {tone}"),
    )  # fmt: skip


def parcels(plan: OrderPlan, width: int) -> Content:
    """Return every delivery: its packs, shipping, and what to ask."""
    lines: list[Content] = []
    for one in plan.parcels:
        lines += [*_parcel(one, plan, width), _GAP]
    if not plan.parcels:
        lines = [Content("Nothing has to be bought: the drawer has it all."), _GAP]
    return Content("\n").join(lines)


def _parcel(one: SellerOrder, plan: OrderPlan, width: int) -> list[Content]:
    when = "Once the sample has been seen" if one.ordered is None else _when(one.ordered, plan)
    lines = [Content.assemble(
        (f"{when} from {one.seller}", "bold $primary"), (f"  there {day(one.arrives)}", FAINT)
    )]  # fmt: skip
    for line in one.lines:
        mark = "  (sample)" if line.sample else ""
        said = f"  {line.times} × {line.offer.count:,} {line.name}{mark}"
        lines.append(_priced(said, f"{line.price:,.2f}", width))
    lines.append(_priced(f"  {one.carriage}, once", f"{one.shipping:,.2f}", width))
    if one.unsaid:
        lines.append(Content.styled(f"  not in it, because nobody says: {', '.join(one.unsaid)}", "$warning"))
    return lines + [Content.assemble(("  ? ", "bold $secondary"), said) for said in one.ask]


def _when(ordered: date, plan: OrderPlan) -> str:
    return "Order today" if ordered == plan.today else f"Order on {day(ordered)}"


def _priced(said: str, price: str, width: int) -> Content:
    room = width - len(price) - 1
    return Content(f"{cut(said, room).ljust(room)} {price}")


def covered(plan: OrderPlan, width: int) -> Content:
    """Return needs against drawer and packs, then money, dates, samples and the drawer in words."""
    name = max(12, width - 36)
    lines = [Content.styled(
        f"{'Needs'.ljust(name)} {'worn':>6} {'spare':>6} {'drawer':>6} {'bought':>6} {'over':>6}",
        "bold $primary",
    )]  # fmt: skip
    for one in plan.covers:
        figures = (one.need.worn, one.need.spares, one.from_drawer, one.bought, one.left_over)
        row = " ".join(f"{each:>6,}" for each in figures)
        style = "$error" if one.left_over < 0 else ""
        lines.append(Content.styled(f"{cut(one.name, name).ljust(name)} {row}", style))
    for title, said in (
        ("Money", order_list.cost(plan)), ("Dates", order_list.dates(plan)),
        ("Sample", order_list.sample(plan)), ("Drawer", order_list.drawer(plan)),
    ):  # fmt: skip
        if said:
            lines += [_GAP, Content.styled(title, "bold $primary"), Content(" ".join(said))]
    return Content("\n").join(lines)


def left_out(notes: Sequence[str], without_rate: Sequence[str]) -> Content:
    """Return what was left out of account."""
    if without_rate:
        notes = (*notes, f"r types in the rate of {' and '.join(without_rate)}; then those offers count.")
    if not notes:
        return _GAP
    head = Content.styled("Left out of account", "bold $primary")
    return Content("\n").join([_GAP, head, *(Content.styled(f"· {one}", FAINT) for one in notes)])


def needed(planned: Planned, palette: Palette) -> Content:
    """Return the needs alone, while there are no offers."""
    lines = [Content.styled("The costume takes", "bold $primary")]
    for one in planned.needs:
        film = palette.coatings[one.coating].name if one.coating in palette.coatings else "uncoated"
        name = f"{palette.stones[one.stone].name}, {film}, {one.size}"
        lines.append(Content(f"  {name}: {one.worn:,} worn and {one.spares:,} spare"))
    return Content("\n").join(lines)


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


def way(one: Relaxation, changes: Mapping[str, Any], currency: str) -> Content:
    """Return a way out, what it then costs, and what it changes in the job."""
    said = f"{one.text[:1].upper()}{one.text[1:]}"
    sets = ", ".join(_SETS[field](value, currency) for field, value in changes.items())
    return Content.assemble(
        (said, "bold"), f": {one.solution.total:,.2f} {currency} in all. ", (f"Sets {sets}.", FAINT)
    )


_SETS: Final[dict[str, Any]] = {
    "budget": lambda value, currency: f"the budget to {value:,.2f} {currency}",
    "one_seller": lambda _value, _currency: "that sellers may be mixed",
    "stones_by": lambda value, _currency: f"the day of the stones to {day(value)}",
    "spares": lambda value, _currency: f"spares to {100 * value:g} %",
    "repair": lambda value, _currency: f"repairs to {value}",
}  # fmt: skip


def materials(
    found: Sequence[tuple[Question, tuple[Worth, ...], tuple[Worth, ...]]], currency: str
) -> Content:
    """Return what each material makes of a pairing beside its price."""
    if not found:
        return Content("An opaque stone lets no light into its glass: what it is made of buys nothing here.")
    question, same, usual = found[0]
    film = question.coating.name if question.coating else "uncoated"
    lines = [
        Content.assemble((f"{question.stone.name}, {film}, {question.size}", "bold"),
                         f", from {question.distance:g} m in {question.venue.name}"),
        _GAP, Content(verdict(usual)), _GAP,
    ]  # fmt: skip
    for title, rows in (("In the cut usual for each", usual), ("All in one cut", same)):
        lines.append(
            Content.styled(f"{title:<26} {'sparkle':>9} {'glow off':>9} {'a gross from':>14}", "bold")
        )
        for one in rows:
            price = "no offer" if one.cheapest is None else rounded(one.cheapest.cost.per_gross)
            lines.append(Content(f"  {one.material:<24} {percent_of(one):>9} {one.apart:>9.0f} {price:>14}"))
        lines.append(_GAP)
    lines.append(Content.styled(
        f"Sparkle is the light in flashes against lead crystal; glow off is ΔE00 from it; prices in "
        f"{currency}. Acrylic scratches and dulls in cleaning (common practice). Lead crystal and small "
        "parts are no thing for small children.", FAINT,
    ))  # fmt: skip
    return Content("\n").join(lines)
