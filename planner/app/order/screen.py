"""The screen of offers and the order."""

from dataclasses import replace
from pathlib import Path
from typing import Any, ClassVar, Final, Protocol

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Button, Footer, OptionList, Static
from textual.widgets.option_list import Option

from planner.app.asking import TextScreen
from planner.app.depth import BANNERS, depth_of
from planner.app.desk import fault
from planner.app.details import Sheet
from planner.app.form.screen import FormScreen
from planner.app.latest import Latest
from planner.app.order import doing, rows, said
from planner.app.order.asking import FileScreen, SureScreen
from planner.app.order.bench import Answer, Planned, Table, Which, Wish, answer, material
from planner.app.parts.ways import Ways
from planner.app.photo.files import path_of
from planner.app.second_process import Here, SecondProcess, parcel
from planner.app.state import State
from planner.catalogue.errors import PaletteError
from planner.catalogue.files import TextFile, read_text, write_text
from planner.job.companions import companion
from planner.order.landed import Priced
from planner.order.order_plan import OrderPlan

_WHICH: Final[dict[Which, str]] = {"job": "what the costume takes", "pairing": "this pairing", "all": "all"}
_VIEWS: Final = ("offers", "read", "order")
_WAYS: Final = "What would do, the least first: Enter takes it into the job, u takes it back"
_WAIT: Final = "Working it out …"
_WIDE: Final = 150
"""Cells from which two columns stand side by side."""


class Keeper(Protocol):
    """Who keeps the job."""

    @property
    def state(self) -> State:
        """The job as it is."""

    def apply(self, state: State) -> None:
        """Make a state the present one."""


class Answered(Message):
    """What was asked for is there."""

    def __init__(self, serial: int, found: Answer) -> None:
        super().__init__()
        self.serial, self.found = serial, found


class Head(Static):
    """The titles over the offers; a click sorts by one."""

    class Clicked(Message):
        """A title was clicked."""

        def __init__(self, x: int) -> None:
            super().__init__()
            self.x = x

    def on_click(self, event: events.Click) -> None:
        """Tell where."""
        self.post_message(self.Clicked(event.x))


class OrderScreen(Screen[None]):
    """From the job's needs and a file of offers to the packs to buy; changes of the job go to its keeper."""

    DEFAULT_CSS = """
    OrderScreen {
        #where { height: 1; padding: 0 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #views { height: 1; padding: 0 1; }
        #views Ways { width: 34; }
        #views Button { margin-left: 1; width: auto; min-width: 6; }
        .view { height: 1fr; display: none; }
        &.-offers #offers-view, &.-read #read-view, &.-order #order-view { display: block; }
        #offer-side { height: 1fr; }
        #offer-head { height: 1; padding: 0; }
        #offer-rows { height: 1fr; background: $background; border: none; padding: 0; }
        #offer-says { height: 8; padding: 0 1; border-top: solid $primary; }
        #offer-none { height: auto; padding: 1 2; max-width: 90; }
        #read-view { padding: 1 2; }
        #read-said { max-width: 110; }
        #order-view { padding: 0 1; }
        #order-first, #order-packs, #order-rest { height: auto; }
        #order-first { max-width: 110; }
        #order-ways { height: auto; max-height: 12; background: $background; border: none; padding: 0; }
        #order-body { height: auto; layout: vertical; }
        #order-packs, #order-rest { max-width: 100; }
        &.-tall #offer-says { height: 13; }
        &.-tall #order-view { padding: 1 2; }
        &.-broad #offers-view { layout: horizontal; }
        &.-broad #offer-side { width: 3fr; height: 100%; }
        &.-broad #offer-says { width: 2fr; height: 100%; border-top: none; border-left: solid $primary;
                               padding: 0 2; }
        &.-broad #order-body { layout: horizontal; }
        &.-broad #order-packs { width: 1fr; margin-right: 4; }
        &.-broad #order-rest { width: 1fr; }
    }
    """
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012 - as Textual has it
    HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (_WIDE, "-broad")]  # noqa: RUF012 - as Textual has it

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("1", "view(0)", show=False),
        Binding("2", "view(1)", show=False),
        Binding("3", "view(2)", show=False),
        Binding("tab", "next_view", "Next page", key_display="Tab"),
        Binding("f", "file", "Offers"),
        Binding("d", "drawer", "Drawer"),
        Binding("a", "which", "Show", show=False),
        Binding("o", "sort", "Sort"),
        Binding("O", "turn", "Turn round", show=False),
        Binding("r", "rates", "Rates"),
        Binding("m", "material", "Material"),
        Binding("s", "save", "Save"),
        Binding("c", "count_down", "Count down", show=False),
        Binding("u,ctrl+z", "undo", "Undo", key_display="u"),
        Binding("U,ctrl+y", "redo", "Redo", show=False),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(
        self, keeper: Keeper, second: SecondProcess | Here, *, bands: Path | None = None, cover_key: str = ""
    ) -> None:
        """Take who keeps the job, who works things out, usual prices, and the key of the areas' screen."""
        super().__init__()
        self._keeper, self._second, self._bands, self._cover_key = keeper, second, bands, cover_key
        self._serial = 0
        self._view = 0
        self._which: Which = "job"
        self._by, self._turned = "gross", False
        self.table: Table | None = None
        self.planned: Planned | None = None
        self._complaint = ""
        self._shown: list[Priced | None] = []
        """What each line of the table is; None for the name of a group."""
        self._sheet: Sheet | None = None
        self._worker: Latest[tuple[Wish, bool]] = Latest(self._work)

    # What is there.

    @property
    def _state(self) -> State:
        return self._keeper.state

    @property
    def _job_file(self) -> Path | None:
        return None if self._state.file is None else self._state.file.path

    @property
    def idle(self) -> bool:
        """Whether nothing is being worked out."""
        return self._worker.idle

    @property
    def plan(self) -> OrderPlan | None:
        """The order, if there is one."""
        found = self.planned
        return None if found is None or found.outcome is None else found.outcome.plan

    def compose(self) -> ComposeResult:
        """Lay out the three pages."""
        yield Static(id="where")
        yield Static(
            BANNERS[depth_of(self.app.console.color_system, no_color=self.app.no_color)], id="caveat"
        )
        with Horizontal(id="views"):
            yield Ways(("1 Offers", "2 As read", "3 Order"), self._view)
            yield Button("", id="which", compact=True)
            yield Button("", id="file", compact=True)
            yield Button("", id="drawer", compact=True)
        with Vertical(id="offers-view", classes="view"):
            with Vertical(id="offer-side"):
                yield Head(id="offer-head")
                yield Static(id="offer-none")
                yield OptionList(id="offer-rows", markup=False)
            with VerticalScroll(id="offer-says", can_focus=False):
                yield Static(id="offer-said")
        with VerticalScroll(id="read-view", classes="view"):
            yield Static(id="read-said")
        with VerticalScroll(id="order-view", classes="view"):
            yield Static(id="order-first")
            yield OptionList(id="order-ways", markup=False)
            with Vertical(id="order-body"):
                yield Static(id="order-packs")
                yield Static(id="order-rest")
        yield Footer(compact=True, show_command_palette=False)

    def on_mount(self) -> None:
        """Ask for all of it."""
        caveat = self.query_one("#caveat")
        caveat.display = bool(str(self.query_one("#caveat", Static).content))
        self._show_view()
        self._ask()

    def on_unmount(self) -> None:
        """Work out nothing any more."""
        self._worker.close()
        self._second.close()

    # The work, in a thread and a process of its own.

    def _wish(self, *, plan: bool) -> Wish:
        state = self._state
        line = state.pairing
        return Wish(
            self._serial, parcel(state.palette), state.job, (line.stone, line.coating, line.size),
            companion(state.job.offers, self._job_file), companion(state.job.stock, self._job_file),
            doing.today(), self._which, self._bands, plan,
        )  # fmt: skip

    def _ask(self, *, plan: bool = True) -> None:
        # What a newer wish leaves out must still come of the older one that it takes the place of.
        plan = plan or not self._worker.idle
        self._serial += 1
        if plan:
            self.planned = None
        self._show()
        self._worker.ask((self._wish(plan=plan), False))

    def _work(self, wanted: tuple[Wish, bool]) -> None:
        wish, worth = wanted
        try:
            if worth:
                found = self._second.call(material, wish)
                self.app.call_from_thread(self._show_material, said.materials(found, wish.job.currency))
            else:
                self.post_message(Answered(wish.serial, self._second.call(answer, wish)))
        except Exception as problem:  # noqa: BLE001 - a fault of ours must not leave the screen waiting
            text = str(problem) if isinstance(problem, ValueError) else fault(problem)
            self.post_message(Answered(wish.serial, Answer(table_complaint=text)))

    @on(Answered)
    def _answered(self, event: Answered) -> None:
        if event.serial != self._serial:
            return
        found = event.found
        self.table, self._complaint = found.table, found.table_complaint
        if found.planned is not None:
            self.planned = found.planned
        self._show(waiting=False)

    # Showing.

    def on_resize(self) -> None:
        """Lay the lines out anew."""
        self.call_after_refresh(self._show, waiting=not self._worker.idle)

    def _show(self, *, waiting: bool = True) -> None:
        job = self._state.job
        self._name_parts(waiting=waiting)
        self._show_offers(waiting=waiting)
        if self.table is None:
            blank = Content(_WAIT) if waiting and job.offers else self._no_table()
            self.query_one("#read-said", Static).update(blank)
        else:
            self.query_one("#read-said", Static).update(said.as_read(self.table))
        self._show_order(waiting=waiting)

    def _name_parts(self, *, waiting: bool) -> None:
        job, narrow = self._state.job, self.size.width < 100
        by = job.stones_by or job.event
        due = "" if by is None else f" · {'stones by' if job.stones_by else 'worn'} {said.day(by)}"
        money = f" · at most {job.budget:,.2f} {job.currency}" if job.budget is not None else ""
        self.query_one("#where", Static).update(Content.assemble(
            ("Offers and order ", "bold $primary"), (job.title, "bold"), (f"{money}{due}", said.FAINT),
            (f"  {_WAIT}" if waiting else "", "italic $secondary"),
        ))  # fmt: skip
        names = {"file": ("f", "offers", job.offers), "drawer": ("d", "drawer", job.stock)}
        for name, (key, what, path) in names.items():
            known = path.replace("\\", "/").rpartition("/")[2]
            label = f"{key} {known[:18]}" if known else f"{key} {what}: none"
            self._label(name, label if narrow or not known else f"{key} {what}: {known[:30]}")
        self._label("which", f"a {'show: ' if not narrow else ''}{_WHICH[self._which]}")

    def _label(self, name: str, label: str) -> None:
        button = self.query_one(f"#{name}", Button)
        button.label = Content(label)
        button.refresh(layout=True)

    def _no_table(self) -> Content:
        if self._complaint:
            return Content.assemble(
                ("✗ ", "bold $error"), (f"{self._complaint}.", "$error"),
                ("\n\nf chooses another file; u takes the choice back.", said.FAINT),
            )  # fmt: skip
        return said.NO_OFFERS

    def _show_offers(self, *, waiting: bool) -> None:
        found, table = self.table, self.query_one("#offer-rows", OptionList)
        none, head = self.query_one("#offer-none", Static), self.query_one(Head)
        there = found is not None and bool(found.alike)
        none.display, head.display, table.display = not there, there, there
        self.query_one("#offer-says").display = there
        if found is None or not there:
            self._shown = []
            text = self._no_table() if found is None else self._none_pass(found)
            none.update(Content(_WAIT) if waiting and self._state.job.offers else text)
            return
        width = self._table_width()
        if self._by not in rows.sorts(width):
            self._by, self._turned = "gross", False
        head.update(rows.head(width, self._by, turned=self._turned))
        under = self._current()
        options: list[Option] = []
        self._shown = []
        for group in found.alike:
            about = " (not round: its reading is approximate)" if group.approximate else ""
            options.append(Option(Content.styled(f" {group.what}{about}", "bold $primary"), disabled=True))
            self._shown.append(None)
            most = max(one.cost.per_gross for one in group.priced)
            for one in rows.ordered(group, self._by, turned=self._turned):
                asks = [each for each in found.concerns.get(one.offer.row, ()) if each.severity != "note"]
                options.append(Option(rows.line(one, asks, most, width)))
                self._shown.append(one)
        table.set_options(options)
        same = [
            at for at, one in enumerate(self._shown) if one and under and one.offer.row == under.offer.row
        ]
        table.highlighted = same[0] if same else 1
        self._describe()

    def _table_width(self) -> int:
        width = self.size.width - 2
        return width * 3 // 5 if self.size.width >= _WIDE else width

    def _none_pass(self, found: Table) -> Content:
        codes = (
            f" {', '.join(found.without_rate)} has no rate yet: r types it in." if found.without_rate else ""
        )
        return Content(
            f"None of the {found.count:,} offers is of {_WHICH[self._which]}.{codes} Press a to show others."
        )

    @on(OptionList.OptionHighlighted, "#offer-rows")
    def _describe(self) -> None:
        one, found = self._current(), self.table
        if one is None or found is None:
            return
        text = said.offer(one, found.concerns.get(one.offer.row, ()), self._state.job.currency)
        self.query_one("#offer-said", Static).update(text)
        panel = self.query_one("#offer-says")
        panel.scroll_home(animate=False)
        shown = sum(one is not None for one in self._shown)
        some = f"{shown:,} of {found.passing:,}" if shown < found.passing else f"{shown:,}"
        star = " · * some charges are not said"
        rate = f" · r: {', '.join(found.without_rate)} has no rate" if found.without_rate else ""
        panel.border_title = f"{some} shown, landed, {self._state.job.currency}{star}{rate}"

    def _current(self) -> Priced | None:
        at = self.query_one("#offer-rows", OptionList).highlighted
        return self._shown[at] if at is not None and at < len(self._shown) else None

    def _show_order(self, *, waiting: bool) -> None:
        state, found = self._state, self.planned
        first, ways = self.query_one("#order-first", Static), self.query_one("#order-ways", OptionList)
        packs, rest = self.query_one("#order-packs", Static), self.query_one("#order-rest", Static)
        ways.display = False
        for one in (packs, rest):
            one.update("")
        if found is None:
            first.update(Content(_WAIT if waiting else self._complaint))
            return
        parts = [said.cautions(found, state.job, state.palette)]
        outcome = found.outcome
        if found.complaint:
            parts.append(Content.styled(f"✗ {found.complaint[:1].upper()}{found.complaint[1:]}.", "$error"))
        elif not found.needs:
            parts.append(self._no_areas())
        elif outcome is None:
            parts += [said.needed(found, state.palette), Content(""), self._no_table()]
        elif outcome.plan is None:
            parts.append(Content.styled(" ✗  This order cannot be made", "bold $error"))
            parts += [Content(f"   {one}") for one in outcome.reasons]
            if outcome.ways:
                parts += [Content(""), Content.styled(_WAYS, "bold $primary")]
                ways.set_options([
                    Option(Content.assemble("  ", said.way(one, changes, state.job.currency)))
                    for one, changes in zip(outcome.ways, found.changes, strict=True)
                ])  # fmt: skip
                ways.display, ways.highlighted = True, 0
            rest.update(said.left_out(outcome.notes))
        else:
            parts += [said.headline(outcome.plan), *(Content(f"✗ {one}") for one in outcome.plan.missing)]
            packs.update(Content("\n").join([Content(""), said.parcels(outcome.plan, self._order_width())]))
            rest.update(Content("\n").join([
                Content(""), said.covered(outcome.plan, self._order_width()), said.left_out(outcome.notes),
                Content(""), Content.styled("s saves the list. Nothing is bought or sent: ordering is yours.",
                                            said.FAINT),
            ]))  # fmt: skip
        first.update(Content("\n").join(parts))

    def _order_width(self) -> int:
        width = self.size.width - 6
        return min(width // 2 - 4, 96) if self.size.width >= _WIDE else min(width, 96)

    def _no_areas(self) -> Content:
        where: tuple[Any, ...] = (
            ("Press Esc and then ", (self._cover_key, "bold $primary"), " to say where they go.")
            if self._cover_key
            else ("Add an [[area]] to the job file for each part of the garment; planner cover counts.",)
        )
        return Content.assemble(
            ("How many stones? ", "bold"), "The costume has no areas yet that take stones, so nothing can be "
            "ordered. ", *where,
        )  # fmt: skip

    # The pages.

    def action_view(self, number: int) -> None:
        """Go to a page."""
        self.query_one(Ways).chosen = number

    def action_next_view(self) -> None:
        """Go to the next page."""
        self.query_one(Ways).step()

    @on(Ways.Changed)
    def _page(self, event: Ways.Changed) -> None:
        self._view = event.chosen
        self._show_view()

    def _show_view(self) -> None:
        for number, name in enumerate(_VIEWS):
            self.set_class(number == self._view, f"-{name}")
        self._focus()

    def _focus(self) -> None:
        ways = self.query_one("#order-ways", OptionList)
        target = ("#offer-rows", "#read-view", "#order-ways" if ways.display else "#order-view")[self._view]
        self.query_one(target).focus()

    # What a person does.

    @on(Button.Pressed, "#which")
    def action_which(self) -> None:
        """Show offers of what the costume takes, of this pairing, or all."""
        names = list(_WHICH)
        self._which = names[(names.index(self._which) + 1) % len(names)]
        self._ask(plan=False)

    def action_sort(self) -> None:
        """Sort by the next column."""
        names = rows.sorts(self._table_width())
        at = names.index(self._by) if self._by in names else -1
        self._by, self._turned = names[(at + 1) % len(names)], False
        self._show_offers(waiting=False)

    def action_turn(self) -> None:
        """Turn the order round."""
        self._turned = not self._turned
        self._show_offers(waiting=False)

    @on(Head.Clicked)
    def _head_clicked(self, event: Head.Clicked) -> None:
        column = rows.column_at(event.x, self._table_width())
        if column is not None:
            self._turned = column == self._by and not self._turned
            self._by = column
            self._show_offers(waiting=False)

    @on(Button.Pressed, "#file")
    def _file_clicked(self) -> None:
        self.action_file()

    @on(Button.Pressed, "#drawer")
    def _drawer_clicked(self) -> None:
        self.action_drawer()

    @work
    async def action_file(self) -> None:
        """Choose the file of offers; the job remembers it."""
        await self._choose("offers", "The file of offers", "A CSV file or a workbook, one pack in a row.",
                           doing.OFFER_FILES)  # fmt: skip

    @work
    async def action_drawer(self) -> None:
        """Choose the file of stones in the drawer; the job remembers it."""
        await self._choose("stock", "Stones in the drawer", "A file with a [[lot]] for each batch: stone, "
                           "coating, size, count. They are used first.", doing.STOCK_FILES)  # fmt: skip

    async def _choose(self, field: str, title: str, says: str, endings: frozenset[str]) -> None:
        begin = doing.beginning(getattr(self._state.job, field), self._job_file)
        path = await self.app.push_screen_wait(FileScreen(title, says, endings, begin))
        if path is not None:
            self._change(doing.chosen(field, path, self._job_file))

    def _change(self, changes: dict[str, Any]) -> None:
        """Change the job, as one step that can be undone, and work everything out anew."""
        try:
            self._keeper.apply(self._state.with_job(**changes))
        except ValueError as problem:
            self.notify(str(problem), severity="error")
            return
        self._ask()

    @work
    async def action_rates(self) -> None:
        """Type rates of exchange."""
        without = () if self.table is None else self.table.without_rate
        job = self._state.job
        entries = doing.rate_entries(job, without)
        if not entries:
            self.notify(f"Every offer is in {job.currency}: no rate is needed.")
            return
        texts = await self.app.push_screen_wait(FormScreen("Rates of exchange", entries))
        if texts is not None:
            self._change(doing.rates_from(self._state.job, texts))

    def action_material(self) -> None:
        """Show what the material of the pairing buys."""
        one = self._current()
        wish = self._wish(plan=True)
        known = {(line.stone, line.coating, line.size) for line in self._state.job.lines}
        if self._view == 0 and one is not None and one.offer.pairing in known:
            wish = replace(wish, pairing=one.offer.pairing)
        if self._worker.idle:
            self._sheet = Sheet("What the material buys", Content(_WAIT))
            self.app.push_screen(self._sheet)
            self._worker.ask((wish, True))

    def _show_material(self, text: Content) -> None:
        if self._sheet is not None and self._sheet.is_attached:
            self._sheet.query_one(Static).update(text)

    @on(OptionList.OptionSelected, "#order-ways")
    def _relax(self, event: OptionList.OptionSelected) -> None:
        if self.planned is not None:
            self._change(self.planned.changes[event.option_index])
            self.notify("Taken into the job; u takes it back.")

    @work
    async def action_save(self) -> None:
        """Save the order list; nothing is overwritten unasked."""
        plan = self.plan
        if plan is None:
            self.notify("There is no order to save yet.", severity="warning")
            return
        folder = "" if self._job_file is None else f"{self._job_file.parent}/"
        typed = await self.app.push_screen_wait(TextScreen(
            "Save the order list", "A name ending in .csv makes a table for a spreadsheet, any other a text.",
            f"{folder}{doing.list_name(self._state.job)}", path=True,
        ))  # fmt: skip
        if typed is None:
            return
        path = path_of(typed)
        try:
            text = doing.list_text(plan, self._state.job.title, path)
            file = TextFile(path, text, None)
            if path.is_file():
                sure = await self.app.push_screen_wait(SureScreen(
                    "There is such a file", Content(f"{path} is there already. As it is now it would stay in "
                                                    f"{path.name}.bak."), "Write over it",
                ))  # fmt: skip
                if not sure:
                    return
                file = replace(file, digest=read_text(path).digest)
            write_text(file)
        except (PaletteError, OSError, ValueError) as problem:
            self.notify(str(problem), severity="error")
            return
        self.notify(f"Saved in {path}.")

    @work
    async def action_count_down(self) -> None:
        """Count the drawer down by what the order takes from it, after asking."""
        plan, found = self.plan, self.planned
        stock = None if found is None else found.stock
        if plan is None or stock is None or not plan.taken:
            self.notify("This order takes nothing from the drawer; d chooses its file.", severity="warning")
            return
        text = doing.counted_down(stock, plan)
        if not await self.app.push_screen_wait(SureScreen("Count the drawer down?", text, "Count down")):
            return
        try:
            saved = stock.without(plan.taken).save()
        except PaletteError as problem:
            self.notify(str(problem), severity="error")
            return
        self.notify(f"Counted down in {saved.path}; as it was before it is {saved.path.name}.bak.")
        self._ask()

    def action_undo(self) -> None:
        """Take the last change of the job back."""
        self._step("undo")

    def action_redo(self) -> None:
        """Do it again."""
        self._step("redo")

    def _step(self, which: str) -> None:
        state = self._state
        can = state.history.can_undo if which == "undo" else state.history.can_redo
        if not can:
            self.notify("There is nothing to take back." if which == "undo" else "There is nothing to redo.")
            return
        self._keeper.apply(state.undo() if which == "undo" else state.redo())
        self._ask()

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
