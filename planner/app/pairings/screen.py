"""The screen of all pairings."""

from typing import ClassVar, Final, cast

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.events import Resize
from textual.message import Message
from textual.widgets import DataTable, Input, ProgressBar
from textual.worker import Worker, WorkerState, get_current_worker

from planner.app.depth import BANNERS, Depth, depth_of
from planner.app.pairings.content import BY_KEY, GAP, Column, detail, heading, ordered, widths
from planner.app.pairings.ranking import Entry, kept, look_at, rank_all
from planner.app.parts.find import FindLine
from planner.app.parts.footer import Footer
from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.second_process import ProcessLostError, SameProcess, SecondProcess
from planner.catalogue.palette import Palette
from planner.reading.question import Question

_AHEAD: Final = 40
"""Rows from the top that are looked at even before anybody scrolls to them."""

_TALL: Final = 32
"""Lines from which there is room for what to do about a warning."""

_COATED: Final = {None: "coated or not", True: "coated only", False: "uncoated only"}
_ANY_MATERIAL: Final = "any material"


class PairingsScreen(SteadyScreen[Question | None]):
    """Every stone with every coating beside the swatch; dismisses with the one opened, or None."""

    DEFAULT_CSS = """
    PairingsScreen {
        #heading { height: 2; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #strip { height: 1; padding: 0 1; }
        #find { width: 1fr; min-width: 16; }
        #strip Button { margin-left: 1; width: auto; min-width: 10; }
        #count { width: 12; margin-left: 1; color: $text-muted; text-align: right; }
        #waiting { height: 1fr; align: center middle; }
        #progress { width: 100%; text-align: center; }
        #waiting ProgressBar { width: 100%; align-horizontal: center; margin-top: 1; }
        #table { height: 1fr; margin: 0 1; scrollbar-size-vertical: 1; scrollbar-size-horizontal: 0; }
        #detail { height: 7; padding: 0 1; border-top: solid $primary; }
        &.-tall #detail { height: 9; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "Open"),
        ("escape", "leave", "Back"),
        ("ctrl+o", "order", "Order by"),
        ("ctrl+r", "reverse", "Turn round"),
        ("ctrl+t", "coated", "Coated"),
        ("ctrl+g", "material", "Material"),
    ]

    class Step(Message):
        """So many stones of so many are ranked."""

        def __init__(self, done: int, of: int) -> None:
            super().__init__()
            self.done, self.of = done, of

    class Ready(Message):
        """The ranking is there."""

        def __init__(self, entries: list[Entry]) -> None:
            super().__init__()
            self.entries = entries

    class Looked(Message):
        """One row has been looked at."""

        def __init__(self, entry: Entry) -> None:
            super().__init__()
            self.entry = entry

    def __init__(self, palette: Palette, question: Question, second: SecondProcess | SameProcess) -> None:
        """Take what can be had, what it should match, and who ranks it."""
        super().__init__()
        self._palette, self._question, self._second = palette, question, second
        self._ranker: SecondProcess | SameProcess | None = None
        self._entries: list[Entry] = []
        self._shown: list[Entry] = []
        self._wanted: list[Entry] = []
        self._looking = False
        self._order: str | None = None
        self._reverse = False
        self._coated: bool | None = None
        self._material: str | None = None

    def compose(self) -> ComposeResult:
        """Lay out heading, strip, table and detail."""
        yield Static(heading(self._question, self._depth), id="heading")
        yield Static(id="caveat")
        with Horizontal(id="strip"):
            yield FindLine(
                "#table", placeholder="type to find: navy, aurora, ss20 …", compact=True, id="find"
            )
            yield Button(_COATED[None], id="coated", compact=True)
            yield Button(_ANY_MATERIAL, id="material", compact=True)
            yield Static(id="count")
        with Vertical(id="waiting"):
            yield Static(id="progress")
            yield ProgressBar(show_eta=False, show_percentage=False)
        yield DataTable(
            id="table", cursor_type="row", cell_padding=0, cursor_foreground_priority="renderable"
        )
        yield Static(id="detail")
        yield Footer()

    def on_mount(self) -> None:
        """Start the work, or show what was worked out before."""
        said = BANNERS[self._depth]
        self.query_one("#caveat", Static).update(said)
        self.query_one("#caveat").display = bool(said)
        self._table.display = False
        self.query_one(FindLine).focus()
        self.watch(self._table, "scroll_y", self._plan, init=False)
        before = kept(self._palette, self._question)
        if before is None:
            self._rank()
        else:
            self._fill(before)

    def on_unmount(self) -> None:
        """Rank no further."""
        if self._ranker is not None:
            self._ranker.close()

    @property
    def _depth(self) -> Depth:
        return depth_of(self.app.console.color_system, no_color=self.app.no_color)

    @property
    def _table(self) -> "DataTable[Text]":
        return cast("DataTable[Text]", self.query_one("#table", DataTable))

    # Working out, in threads.

    @work(thread=True, group="rank", exclusive=True, exit_on_error=False)
    def _rank(self) -> None:
        worker = get_current_worker()

        def step(done: int, of: int) -> bool:
            self.post_message(self.Step(done, of))
            return not worker.is_cancelled

        second = self._ranker = self._second.reserved()
        try:
            found = rank_all(self._palette, self._question, second, step)
        except ProcessLostError:
            if worker.is_cancelled:  # as when the screen is left
                return
            found = rank_all(self._palette, self._question, SameProcess(), step)
        finally:
            second.close()
        if found is not None:
            self.post_message(self.Ready(found))

    @work(thread=True, group="look", exclusive=True, exit_on_error=False)
    def _look(self) -> None:
        worker = get_current_worker()
        while not worker.is_cancelled:
            entry = next((one for one in self._wanted if one.look is None), None)
            if entry is None:
                return
            # Kept on the row at once, so that the next turn of this loop passes it by.
            entry.look = look_at(entry.ranked.question)
            self.post_message(self.Looked(entry))

    @on(Worker.StateChanged)
    def _after(self, event: Worker.StateChanged) -> None:
        """Go on with what was asked for meanwhile, or say what went wrong."""
        if event.state is WorkerState.ERROR:
            self.query_one("#progress", Static).update(f"This could not be worked out: {event.worker.error}")
        if event.worker.group == "look" and event.worker.is_finished:
            self._looking = False
            if event.state is WorkerState.SUCCESS:
                self._start()

    def _start(self) -> None:
        if not self._looking and any(one.look is None for one in self._wanted):
            self._looking = True
            self._look()

    def _plan(self) -> None:
        """Ask for the rows in sight first, then the best ones; for all where the order needs them."""
        top = int(self._table.scroll_offset.y)
        seen = self._shown[top : top + max(1, self._table.size.height)]
        needs_all = self._order is not None and BY_KEY[self._order].full
        self._wanted = [*seen, *(self._shown if needs_all else self._shown[:_AHEAD])]
        self._start()

    @on(Step)
    def _show_step(self, event: Step) -> None:
        self.query_one("#progress", Static).update(
            f"Working out every pairing in this light: {event.done} of {event.of} stones done"
        )
        self.query_one(ProgressBar).update(total=event.of, progress=event.done)

    @on(Ready)
    def _show(self, event: Ready) -> None:
        self._fill(event.entries)

    @on(Looked)
    def _show_look(self, event: Looked) -> None:
        entry, table = event.entry, self._table
        row = _row_key(entry)
        if row in table.rows:
            for key, width in self._widths().items():
                # The screen may be wider by now than the table was laid out for.
                if BY_KEY[key].full and key in table.columns:
                    table.update_cell(row, key, BY_KEY[key].shown(entry, width))
        if entry is self._current():
            self._describe()
        if self._order is not None and BY_KEY[self._order].full and not self._looks_missing():
            self._rows()
        self._count()

    # The table.

    def _fill(self, entries: list[Entry]) -> None:
        for one in entries:
            if one.depth != self._depth:
                one.depth, one.cells = self._depth, {}
        self._entries = entries
        self.query_one("#waiting").display = False
        self._table.display = True
        self._columns()

    def on_resize(self, event: Resize) -> None:
        """Choose columns anew for the width, and how much is said for the height."""
        self.set_class(event.size.height >= _TALL, "-tall")
        if self._entries:
            self._columns()

    def _columns(self) -> None:
        table = self._table
        table.clear(columns=True)
        for key, width in self._widths().items():
            table.add_column(self._title(BY_KEY[key], width), width=width + GAP, key=key)
        self._rows()

    def _widths(self) -> dict[str, int]:
        # One cell of margin on either side, and the scroll bar.
        return widths(self.size.width - 3)

    def _title(self, column: Column, width: int) -> Text:
        if column.key != self._order:
            return Text(column.title[:width], no_wrap=True)
        arrow = "▲" if self._reverse else "▼"
        return Text(column.title[: width - 1] + arrow, "underline", no_wrap=True)

    def _rows(self) -> None:
        """Fill the table with the rows that pass, in order; the cursor stays on its pairing."""
        table, room, under = self._table, self._widths(), self._current()
        typed = self.query_one(FindLine).value
        passing = [one for one in self._entries if self._passes(one) and one.answers(typed)]
        self._shown = ordered(passing, self._order, reverse=self._reverse)
        table.clear()
        for entry in self._shown:
            table.add_row(
                *(BY_KEY[key].shown(entry, width) for key, width in room.items()), key=_row_key(entry)
            )
        if under in self._shown:
            table.move_cursor(row=self._shown.index(under))
        self._count()
        self._describe()
        by = "Best for your wish first" if self._order is None else f"By {BY_KEY[self._order].title.lower()}"
        turned = ", turned round" if self._reverse else ""
        self.query_one("#detail").border_title = f"{by}{turned} · Enter or a second click opens"
        self.soon(self._plan)

    def _passes(self, entry: Entry) -> bool:
        question = entry.ranked.question
        coated = self._coated in (None, question.coating is not None)
        return coated and self._material in (None, question.stone.material)

    def _current(self) -> Entry | None:
        row = self._table.cursor_row
        return self._shown[row] if 0 <= row < len(self._shown) else None

    def _looks_missing(self) -> int:
        return sum(one.look is None for one in self._shown)

    def _count(self) -> None:
        text = f"{len(self._shown)} of {len(self._entries)}"
        if self._order is not None and BY_KEY[self._order].full and (missing := self._looks_missing()):
            text = f"{missing} to read"
        self.query_one("#count", Static).update(text)

    @on(DataTable.RowHighlighted)
    def _describe(self) -> None:
        entry = self._current()
        if entry is None:
            said = Text("Nothing fits what you typed and chose: delete a word.") if self._entries else Text()
        else:
            said = detail(entry, full=self.has_class("-tall"))
        self.query_one("#detail", Static).update(said)

    # What a person does.

    @on(Input.Changed)
    def _narrow(self) -> None:
        if self._entries:
            self._from_top()

    @on(Input.Submitted)
    @on(DataTable.RowSelected)
    def action_open(self) -> None:
        """Open the pairing under the cursor."""
        entry = self._current()
        if entry is not None:
            self.dismiss(entry.ranked.question)

    def action_leave(self) -> None:
        """Leave without a choice."""
        self.dismiss(None)

    @on(Button.Pressed, "#coated")
    def action_coated(self) -> None:
        """Show coated and uncoated stones, coated ones alone, uncoated ones alone, in turn."""
        self._coated = {None: True, True: False, False: None}[self._coated]
        self.query_one("#coated", Button).label = _COATED[self._coated]
        self._from_top()

    @on(Button.Pressed, "#material")
    def action_material(self) -> None:
        """Show every material, then one after the other."""
        found = sorted({stone.material for stone in self._palette.offered.stones.values()})
        materials: list[str | None] = [None, *found]
        self._material = materials[(materials.index(self._material) + 1) % len(materials)]
        self.query_one("#material", Button).label = self._material or _ANY_MATERIAL
        self._from_top()

    def action_order(self) -> None:
        """Order by the next column; after the last one, best for the wish first."""
        keys = [None, *self._widths()]
        at = keys.index(self._order) if self._order in keys else 0
        self._order_by(keys[(at + 1) % len(keys)])

    def action_reverse(self) -> None:
        """Turn the order round."""
        self._reverse = not self._reverse
        self._columns()

    @on(DataTable.HeaderSelected)
    def _order_clicked(self, event: DataTable.HeaderSelected) -> None:
        key = str(event.column_key.value)
        if key == self._order:
            self.action_reverse()
        else:
            self._order_by(key)

    def _order_by(self, key: str | None) -> None:
        self._order, self._reverse = key, False
        with self.app.batch_update():
            self._columns()
            self._table.move_cursor(row=0)

    def _from_top(self) -> None:
        with self.app.batch_update():
            self._rows()
            self._table.move_cursor(row=0)


def _row_key(entry: Entry) -> str:
    return str(id(entry))
