"""The screen of offers and the order."""

from dataclasses import replace
from pathlib import Path
from typing import Any, ClassVar, Final

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message

from planner.app.answer_worker import fault
from planner.app.depth import Depth
from planner.app.form.screen import FormScreen
from planner.app.job_holder import JobHolder, redone, undone
from planner.app.newest_worker import NewestWorker
from planner.app.order import content, order_actions
from planner.app.order.file_screen import FileScreen
from planner.app.order.header import Header
from planner.app.order.offers_page import WIDE, OffersPage
from planner.app.order.order_actions import OFFER_FILES, STOCK_FILES, confirm, count_down, save_list
from planner.app.order.order_page import OrderPage
from planner.app.order.worker import Answer, Planned, Table, Which, Wish, answer, material
from planner.app.parts import told
from planner.app.parts.footer import Footer
from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.parts.ways import Ways
from planner.app.second_process import SameProcess, SecondProcess, parcel
from planner.app.sheets import Sheet
from planner.app.state import State
from planner.job.companions import companion
from planner.job.today import today
from planner.order.order_plan import OrderPlan
from planner.refusal import Refusal

_WHICH: Final[dict[Which, str]] = {"job": "the costume", "pairing": "this pairing", "all": "all offers"}
_VIEWS: Final = ("offers", "read", "order")
_WAIT: Final = "Working it out …"


class Answered(Message):
    """What was asked for is there."""

    def __init__(self, serial: int, found: Answer) -> None:
        super().__init__()
        self.serial, self.found = serial, found


class Bought(Message):
    """What a material buys is known."""

    def __init__(self, text: Content) -> None:
        super().__init__()
        self.text = text


class OrderScreen(SteadyScreen[None]):
    """From the job's needs and a file of offers to the packs to buy; changes of the job go to its keeper."""

    DEFAULT_CSS = """
    OrderScreen {
        .view { height: 1fr; display: none; }
        &.-offers #offers-view, &.-read #read-view, &.-order #order-view { display: block; }
        #read-view { padding: 1 2; }
        #read-said { max-width: 110; }
    }
    """
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012 - as Textual has it
    HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (WIDE, "-broad")]  # noqa: RUF012 - as Textual has it

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("1", "view(0)", show=False),
        Binding("2", "view(1)", show=False),
        Binding("3", "view(2)", show=False),
        Binding("tab", "next_view", "Next page", key_display="Tab"),
        Binding("f", "file", "Offers", show=False),
        Binding("d", "drawer", "Drawer", show=False),
        Binding("a", "which", "Show", show=False),
        Binding("o", "sort", "Sort"),
        Binding("O", "turn", "Turn round", show=False),
        Binding("r", "rates", "Rates"),
        Binding("m", "material", "Material"),
        Binding("y", "confirm", "Confirm", show=False),
        Binding("s", "save", "Save"),
        Binding("c", "count_down", "Count down", show=False),
        Binding("u,ctrl+z", "undo", "Undo", key_display="u"),
        Binding("U,ctrl+y", "redo", "Redo", show=False),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(
        self, keeper: JobHolder, second: SecondProcess | SameProcess, depth: Depth, *,
        bands: Path | None = None, words: Path | None = None, drawer: Path | None = None, cover_key: str = "",
    ) -> None:  # fmt: skip
        """Take who keeps the job, who works things out, usual prices, and the key of the areas' screen."""
        super().__init__()
        self._keeper, self._second, self._bands, self._cover_key = keeper, second, bands, cover_key
        self._depth, self._words, self._drawer = depth, words, drawer
        self._waiting = True
        """Whether the newest answer is still to come."""
        self._serial = 0
        self._view = 0
        self._which: Which = "job"
        self.table: Table | None = None
        self.planned: Planned | None = None
        self._complaint = ""
        self._sheet: Sheet | None = None
        self._worker: NewestWorker[tuple[Wish, bool]] = NewestWorker(self._work)

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
        yield Header(self._depth)
        yield OffersPage()
        with VerticalScroll(id="read-view", classes="view"):
            yield Static(id="read-said")
        yield OrderPage(self._cover_key)
        yield Footer()

    def on_mount(self) -> None:
        """Ask for all of it."""
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
            companion(state.job.offers, self._job_file),
            companion(state.job.stock, self._job_file) or self._drawer,
            today(), self._which, self._bands, self._words, plan,
        )  # fmt: skip

    def _ask(self, *, plan: bool = True) -> None:
        # What a newer wish leaves out must still come of the older one that it takes the place of.
        plan = plan or self._waiting
        self._serial += 1
        self._waiting = True
        if plan:
            self.planned = None
        self._show()
        self._worker.ask((self._wish(plan=plan), False))

    def _work(self, wanted: tuple[Wish, bool]) -> None:
        wish, worth = wanted
        try:
            if worth:
                self.post_message(Bought(told.content(self._second.call(material, wish))))
            else:
                self.post_message(Answered(wish.serial, self._second.call(answer, wish)))
        except Exception as problem:  # noqa: BLE001 - a fault of ours must not leave the screen waiting
            text = str(problem) if isinstance(problem, Refusal) else fault(problem)
            if worth:
                self.post_message(Bought(Content(text)))
                return
            self.post_message(Answered(wish.serial, Answer(table_complaint=text)))

    @on(Answered)
    def _answered(self, event: Answered) -> None:
        if event.serial != self._serial:
            return
        found = event.found
        self.table, self._complaint = found.table, found.table_complaint
        if found.planned is not None:
            self.planned = found.planned
        self._waiting = False
        self._show()
        if self.is_current:
            self._focus()

    # Showing.

    def on_resize(self) -> None:
        """Lay the lines out anew."""
        self.soon(self._show)

    def _show(self) -> None:
        state, table, waiting = self._state, self.table, self._waiting
        self.query_one(Header).show(
            state.job, _WHICH[self._which], _WAIT if waiting else "", drawer=self._drawer is not None
        )
        wait = waiting and bool(state.job.offers)
        none = Content(_WAIT) if wait else self._no_table()
        passing = none if wait or table is None else self._none_pass(table)
        self.query_one(OffersPage).show(table, state, passing)
        self.query_one("#read-said", Static).update(none if table is None else told.content(table.understood))
        instead = Content(_WAIT) if waiting else self._no_table()
        without = () if table is None else table.without_rate
        self.query_one(OrderPage).show(self.planned, state, instead, without)

    def _no_table(self) -> Content:
        if self._complaint:
            return Content.assemble(
                ("✗ ", "bold $error"), (f"{self._complaint}.", "$error"),
                ("\n\nf chooses another file; u undoes the choice.", content.FAINT),
            )  # fmt: skip
        return content.NO_OFFERS

    def _none_pass(self, found: Table) -> Content:
        codes = (
            f" {', '.join(found.without_rate)} has no rate yet: r types it in." if found.without_rate else ""
        )
        likely = " Some names are only guesses: 2 shows them, and y confirms them." if found.guesses else ""
        none = f"None of the {found.count:,} offers is for {_WHICH[self._which]}."
        return Content(f"{none}{codes}{likely} Press a to show others.")

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
        target = ("#offer-rows", "#read-view", self.query_one(OrderPage).holds)[self._view]
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
        self.query_one(OffersPage).sort()

    def action_turn(self) -> None:
        """Turn the order round."""
        self.query_one(OffersPage).turn()

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
                           OFFER_FILES)  # fmt: skip

    @work
    async def action_drawer(self) -> None:
        """Choose the file of stones in the drawer; the job remembers it."""
        await self._choose("stock", "Stones in the drawer", "A file with a [[lot]] for each batch: stone, "
                           "coating, size, count. They are used first.", STOCK_FILES)  # fmt: skip

    async def _choose(self, field: str, title: str, says: str, endings: frozenset[str]) -> None:
        begin = order_actions.beginning(getattr(self._state.job, field), self._job_file)
        path = await self.app.push_screen_wait(FileScreen(title, says, endings, begin))
        if path is not None:
            self._change(order_actions.chosen(field, path, self._job_file))

    def _change(self, changes: dict[str, Any]) -> None:
        """Change the job, as one step that can be undone, and work everything out anew."""
        try:
            self._keeper.apply(self._state.with_job(**changes))
        except Refusal as problem:
            self.notify(str(problem), severity="error")
            return
        self._ask()

    @work
    async def action_rates(self) -> None:
        """Type rates of exchange."""
        without = () if self.table is None else self.table.without_rate
        job = self._state.job
        entries = order_actions.rate_entries(job, without)
        if not entries:
            self.notify(f"Every offer is in {job.currency}: no rate is needed.")
            return
        texts = await self.app.push_screen_wait(FormScreen("Rates of exchange", entries))
        if texts is not None:
            self._change(order_actions.rates_from(self._state.job, texts))

    @work
    async def action_confirm(self) -> None:
        """Confirm, after asking, what sellers' words are likely to mean."""
        guesses = () if self.table is None else self.table.guesses
        if not guesses:
            self.notify("There is nothing to confirm.")
        elif await confirm(self, guesses, self._state.palette, self._words):
            self._ask()

    def action_material(self) -> None:
        """Show what the material of the pairing buys."""
        one = self.query_one(OffersPage).current
        wish = self._wish(plan=True)
        known = {(line.stone, line.coating, line.size) for line in self._state.job.lines}
        if self._view == 0 and one is not None and one.offer.pairing in known:
            wish = replace(wish, pairing=one.offer.pairing)
        if self._worker.idle:
            self._sheet = Sheet("What the material buys", Content(_WAIT))
            self.app.push_screen(self._sheet)
            self._worker.ask((wish, True))

    @on(Bought)
    def _show_material(self, event: Bought) -> None:
        if self._sheet is not None and self._sheet.is_attached:
            self._sheet.tell(event.text)

    @on(OrderPage.Taken)
    def _relax(self, event: OrderPage.Taken) -> None:
        if self.planned is not None:
            self._change(self.planned.changes[event.number])
            self.notify("The job is changed; u undoes it.")

    @work
    async def action_save(self) -> None:
        """Save the order list; nothing is overwritten unasked."""
        plan = self.plan
        if plan is None:
            self.notify("There is no order to save yet.", severity="warning")
            return
        await save_list(self, plan, self._state.job, self._job_file)

    @work
    async def action_count_down(self) -> None:
        """Count the drawer down by what the order takes from it, after asking."""
        plan, found = self.plan, self.planned
        stock = None if found is None else found.stock
        if plan is None or stock is None or not plan.taken:
            self.notify("This order takes nothing from the drawer; d chooses its file.", severity="warning")
            return
        if await count_down(self, plan, stock):
            self._ask()

    def action_undo(self) -> None:
        """Take the last change of the job back."""
        self._stepped(undone(self._state, self.notify))

    def action_redo(self) -> None:
        """Do it again."""
        self._stepped(redone(self._state, self.notify))

    def _stepped(self, state: State | None) -> None:
        if state is not None:
            self._keeper.apply(state)
            self._ask()

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
