"""The main screen: the ticket to the left, the answer beside it, what to order instead."""

from typing import ClassVar, Protocol

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Footer, Static

from planner.app.answer import Patches, Sparkle, Words
from planner.app.depth import BANNERS, Depth
from planner.app.desk import Asked, Desk, Drawn, Failed, Looked, Offered, View, asked
from planner.app.details import ConcernsScreen, FiguresScreen, OffersScreen
from planner.app.fields import BY_EYE, FIELDS, Field, beside, chosen, stepped
from planner.app.look import Look
from planner.app.offers import Offers
from planner.app.picker import Picker
from planner.app.picture import FURTHEST, Picture
from planner.app.state import State
from planner.app.ticket import Row, Ticket
from planner.picture.picture import Prepared
from planner.reading.instead import Instead

SLOW = 0.15
"""Seconds after which an answer that is not there yet is shown to be old."""

TURNS = 2
"""How often the cloth tilts to and fro for one press of a key."""

FRAME = 0.08
"""Seconds from one frame to the next while it tilts."""


class Holder(Protocol):
    """What the main screen needs of the app."""

    state: State
    depth: Depth

    def apply(self, state: State) -> None:
        """Make `state` the present one, and keep it safe."""


class MainScreen(Screen[None]):
    """Everything about one line of the job."""

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-normal"), (160, "-wide")]  # noqa: RUF012 - as Textual has it
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012 - as Textual has it

    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(field.key, f"open('{field.key}')", field.label, show=False) for field in FIELDS),
        Binding("i", "offers", "Instead"),
        Binding("e", "concerns", "Warnings"),
        Binding("n", "figures", "Numbers"),
        Binding("p", "app.pairings", "All pairings"),
        Binding("h", "app.plot", "Hues"),
        Binding("r", "app.venues", "Several venues", show=False),
        Binding("t", "tilt", "Tilt"),
        Binding("b", "app.by_eye", "Swatch by eye", show=False),
        Binding("u", "undo", "Undo"),
        Binding("U,ctrl+y", "redo", "Redo", show=False),
        Binding("ctrl+z", "undo", "Undo", show=False),
        Binding("plus", "add_line", "Add a pairing", show=False),
        Binding("minus", "remove_line", "Take the pairing off", show=False),
        Binding("full_stop", "line(1)", "Next pairing", show=False),
        Binding("comma", "line(-1)", "Last pairing", show=False),
    ]

    def __init__(self, holder: Holder, desk: Desk) -> None:
        super().__init__()
        self.holder, self.desk = holder, desk
        self.serial = 0
        self.painted = 0
        """Serial number of the last answer on the screen."""
        self.look: Look | None = None
        self.offers: tuple[Instead, ...] | None = None
        self._preview: State | None = None
        self._prepared: Prepared | None = None
        self._asked: Asked | None = None
        self._old: Timer | None = None
        self._path: list[float] = []

    def compose(self) -> ComposeResult:
        """Yield the ticket, the answer and the offers."""
        yield Static(id="bar")
        if BANNERS[self.holder.depth]:
            yield Static(BANNERS[self.holder.depth], id="banner", markup=False)
        with Container(id="body"):
            with Vertical(id="rail"):
                yield Ticket(id="ticket")
                yield Picker()
            with VerticalScroll(id="answer", can_focus=False):
                yield Words(id="words")
                yield Sparkle(id="sparkle")
                with Horizontal(id="sight"):
                    yield Picture(self.holder.depth)
                    yield Patches(id="patches")
            yield Offers(id="offers")
        yield Footer(compact=True, show_command_palette=False)

    def on_mount(self) -> None:
        """Show the present state, and ask."""
        self.query_one(Picker).display = False
        self.query_one(Sparkle).depth = self.query_one(Patches).depth = self.holder.depth
        self.query_one("#row-s", Row).focus()
        self.show_state()

    # What is asked.

    @property
    def state(self) -> State:
        """What is on the screen: a preview, else the present state."""
        return self._preview or self.holder.state

    def show_state(self) -> None:
        """Show the state, and ask about it."""
        state = self.state
        self.query_one(Ticket).show(state, self.holder.depth)
        self.show_bar()
        self.serial += 1
        try:
            self._asked = asked(state, self.serial, self._beside())
        except ValueError as problem:
            self._refuse(str(problem))
            return
        self.desk.ask(self._asked)
        known = self.desk.known(self._asked)
        if known is not None:
            self._answered(Looked(self.serial, known))
            return
        if self._old is not None:
            self._old.stop()
        self._old = self.set_timer(SLOW, lambda: self.add_class("-old"))

    def _beside(self) -> list[State]:
        """Return the states that one more key would lead to."""
        picker, focused = self.query_one(Picker), self.focused
        if picker.display and picker.field is not None:
            return beside(picker.field, self.state, picker.values)
        if isinstance(focused, Row):
            values = [one.value for one in focused.field.choices(self.state)]
            return beside(focused.field, self.state, values)
        return []

    def show_bar(self) -> None:
        """Show the job's title and where it is kept."""
        state = self.holder.state
        name = state.file.path.name if state.file else "not saved under a name yet"
        mark = " · changed" if state.unsaved and state.file else ""
        count = len(state.job.lines)
        where = f"{state.line + 1} of {count}" if count > 1 else ""
        self.query_one("#bar", Static).update(
            Content.assemble(
                (f" {state.job.title} ", "bold"), (f" {name}{mark}", "$foreground 65%"),
                (f"  {where}", "$foreground 65%"),
                (f"  {self.look.basis} figures" if self.look else "", "italic $foreground 65%"),
            ),
            layout=False,
        )  # fmt: skip

    def apply(self, state: State) -> None:
        """Keep a state."""
        self._preview = None
        self.holder.apply(state)
        self.show_state()

    @on(Row.Opened)
    def _open(self, message: Row.Opened) -> None:
        self.open_field(message.field)

    def action_open(self, key: str) -> None:
        """Open the choices of a field by its key."""
        self.open_field(next(field for field in FIELDS if field.key == key))

    def open_field(self, field: Field) -> None:
        """Show the choices of a field in place of the ticket."""
        self.query_one(Ticket).display = False
        picker = self.query_one(Picker)
        picker.display = True
        picker.open(field, self.holder.state)

    def _close_picker(self) -> None:
        picker = self.query_one(Picker)
        field, picker.display = picker.field, False
        self.query_one(Ticket).display = True
        if field is not None:
            self.query_one(f"#row-{field.key}", Row).focus()

    @on(Row.Stepped)
    def _step(self, message: Row.Stepped) -> None:
        try:
            self.apply(stepped(message.field, self.holder.state, message.step))
        except ValueError as problem:
            self.notify(str(problem), severity="warning", markup=False)

    @on(Picker.Looked)
    def _try(self, message: Picker.Looked) -> None:
        if not self.query_one(Picker).display:
            return
        after = chosen(message.field, self.holder.state, message.choice.value)
        if isinstance(after, str):
            self._refuse(after)
        elif after.job != self.state.job:
            self._preview = after
            self.show_state()

    @on(Picker.Chosen)
    def _keep(self, message: Picker.Chosen) -> None:
        if message.choice.value == BY_EYE:
            self._close_picker()
            self.app.call_later(self.app.run_action, "by_eye")
            return
        after = chosen(message.field, self.holder.state, message.choice.value)
        if isinstance(after, str):
            self.notify(after, severity="warning", markup=False)
            return
        self._close_picker()
        self.apply(after)

    @on(Picker.Left)
    def _leave(self) -> None:
        self._close_picker()
        if self._preview is not None:
            self._preview = None
            self.show_state()

    # What is answered.

    @on(Looked)
    def _answered(self, message: Looked) -> None:
        if message.serial != self.serial:
            return
        self.look = message.look
        self.show_bar()
        self._fresh()
        self.query_one(Words).show(message.look, self._room())
        self.query_one(Sparkle).show(message.look)
        self.query_one(Patches).look = message.look
        if self.painted != message.serial:
            self.offers, self.painted = None, message.serial
            self.query_one("#offers", Offers).show(None)
            self.query_one(Ticket).show_lines(self.state)

    def _room(self) -> int:
        """Return how many warnings there is room for."""
        return 4 if self.has_class("-tall") else 1

    @on(Drawn)
    def _drawn(self, message: Drawn) -> None:
        picture = self.query_one(Picture)
        if message.serial != self.serial:
            return
        self._prepared = message.prepared
        if (message.prepared.width, message.prepared.height) == picture.pixels:
            picture.show(message.rgb)
        if self._path:
            self.set_timer(FRAME, self._next_frame)

    @on(Offered)
    def _offered(self, message: Offered) -> None:
        if message.serial == self.serial:
            self.offers = message.offers
            self.query_one("#offers", Offers).show(message.offers, "The palette could not be looked through.")

    @on(Failed)
    def _failed(self, message: Failed) -> None:
        if message.serial == self.serial:
            self._refuse(message.sentence)

    def _refuse(self, sentence: str) -> None:
        self.look = self.offers = None
        self._fresh()
        self.query_one(Ticket).show_lines(self.state)
        self.query_one(Words).refuse(sentence)
        self.query_one(Picture).clear()

    def _fresh(self) -> None:
        if self._old is not None:
            self._old.stop()
        self.remove_class("-old")

    # The picture.

    @on(Picture.Resized)
    def _resized(self) -> None:
        self._view()
        if self._asked is not None and self.painted == self.serial:
            self.desk.draw(self.serial, self._asked.question, self.desk.view)

    def on_resize(self) -> None:
        """Show as many warnings as there is room for now."""
        if self.look is not None:
            self.call_after_refresh(self.query_one(Words).show, self.look, self._room())

    @on(Picture.Tilted)
    def _tilted(self) -> None:
        self._path = []
        self._view()
        if self._prepared is not None:
            self.desk.draw(self.serial, self._prepared, self.desk.view)

    def _view(self) -> None:
        picture = self.query_one(Picture)
        self.desk.view = View(*picture.pixels, picture.tilt)

    def action_tilt(self) -> None:
        """Let the cloth tilt to and fro a few times; once more stops it."""
        if self._path:
            self._path = []
            return
        steps = 24
        there = [FURTHEST * i / steps for i in range(1, steps + 1)]
        swing = [*there, *there[-2::-1], *(-x for x in there), *(-x for x in there[-2::-1]), 0.0]
        self._path = swing * TURNS
        self._next_frame()

    def _next_frame(self) -> None:
        if self._path and self._prepared is not None and self.is_current:
            picture = self.query_one(Picture)
            picture.tilt = self._path.pop(0)
            self._view()
            self.desk.draw(self.serial, self._prepared, self.desk.view)
        else:
            self._path = []

    # What else can be done.

    @on(Offers.Taken)
    def _taken(self, message: Offers.Taken) -> None:
        self.take(message.offer)

    def take(self, offer: Instead) -> None:
        """Swap an offer in for the line looked at."""
        question = offer.reading.question
        coating = question.coating.id if question.coating else "none"
        self.apply(self.holder.state.with_line(stone=question.stone.id, coating=coating, size=question.size))
        self.notify("Swapped in; u takes it back.")

    def action_offers(self) -> None:
        """Go to what to order instead."""
        offers = self.query_one("#offers", Offers)
        if offers.display:
            offers.focus()
            if offers.offers and offers.highlighted is None:
                offers.highlighted = 0
        else:
            self.app.push_screen(OffersScreen(self.offers), self._swapped)

    def _swapped(self, offer: Instead | None) -> None:
        if offer is not None:
            self.take(offer)

    def action_concerns(self) -> None:
        """Show every warning, and what to do about it."""
        if self.look is not None:
            self.app.push_screen(ConcernsScreen(self.look))

    def action_figures(self) -> None:
        """Show the figures behind the words."""
        if self.look is not None:
            self.app.push_screen(FiguresScreen(self.look))

    def action_undo(self) -> None:
        """Take the last change back."""
        if self.holder.state.history.can_undo:
            self.apply(self.holder.state.undo())
        else:
            self.notify("There is nothing to take back.")

    def action_redo(self) -> None:
        """Do again what was taken back."""
        if self.holder.state.history.can_redo:
            self.apply(self.holder.state.redo())
        else:
            self.notify("There is nothing to do again.")

    def action_add_line(self) -> None:
        """Add a copy of this pairing to the costume."""
        self.apply(self.holder.state.with_new_line())

    def action_remove_line(self) -> None:
        """Take this pairing off the costume."""
        if len(self.holder.state.job.lines) == 1:
            self.notify("A costume keeps at least one pairing.")
        else:
            gone = self.holder.state.gone_with_line
            self.apply(self.holder.state.without_line())
            if gone:
                self.notify(gone)

    def action_line(self, step: int) -> None:
        """Look at the next pairing of the costume, or the last."""
        self.apply(self.holder.state.at_line(self.holder.state.line + step))

    @on(Ticket.LineChosen)
    def _line_chosen(self, message: Ticket.LineChosen) -> None:
        self.apply(self.holder.state.at_line(message.number))
