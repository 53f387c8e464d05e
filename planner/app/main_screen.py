"""The main screen: the ticket to the left, the answer beside it, what to order instead."""

from dataclasses import replace
from typing import ClassVar, Protocol

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Footer, Static

from planner.app.answer import Sparkle, Words
from planner.app.concerns import ConcernsScreen, told
from planner.app.cover.content import standing, standing_text
from planner.app.depth import BANNERS, Depth
from planner.app.desk import Asked, Desk, Drawn, Failed, Looked, Offered, asked
from planner.app.details import FiguresScreen, OffersScreen
from planner.app.fields import BY_EYE, FIELDS, Field, beside, chosen, stepped
from planner.app.look import Look
from planner.app.offers import Offers
from planner.app.picker import Picker
from planner.app.places import PLACES
from planner.app.sight import Sight
from planner.app.state import State
from planner.app.ticket import Row, Ticket
from planner.app.undoing import redone, undone
from planner.catalogue.palette import Palette
from planner.job.model import Acceptance
from planner.reading.instead import Instead
from planner.refusal import Refusal

SOON = 0.01
"""Seconds within which all parts of an answer have asked to be painted."""

SLOW = 0.15
"""Seconds after which an answer that is not there yet is shown to be old."""

_NO_OFFERS = "The palette could not be looked through."


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
        *(Binding(one.key, f"app.go('{one.name}')", one.label, show=one.footer) for one in PLACES if one.key),
        Binding("t", "tilt", "Tilt"),
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
        self._asked: Asked | None = None
        self._palette: Palette | None = None
        self._old: Timer | None = None

    def compose(self) -> ComposeResult:
        """Yield the ticket, the answer and the offers."""
        yield Static(id="bar")
        if BANNERS[self.holder.depth]:
            yield Static(BANNERS[self.holder.depth], id="banner")
        with Container(id="body"):
            with Vertical(id="rail"):
                yield Ticket(id="ticket")
                yield Picker()
            with VerticalScroll(id="answer", can_focus=False):
                yield Static(id="wearer")
                yield Words(id="words")
                yield Sparkle(id="sparkle")
                yield Sight(self.desk, self.holder.depth)
            yield Offers(id="offers")
        yield Footer(compact=True, show_command_palette=False)

    def on_mount(self) -> None:
        """Show the present state, and ask."""
        self.query_one(Picker).display = False
        for one in (self.query_one(Sparkle), self.query_one(Picker), self.query_one("#offers", Offers)):
            one.depth = self.holder.depth
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
        self._show_wearer(state)
        try:
            new = asked(state, self.serial + 1, self._beside())
        except Refusal as problem:
            self.serial += 1
            self._refuse(str(problem))
            return
        if self.look is not None and self.painted == self.serial and self._same(new, state):
            self._show_look(self.look)
            self.query_one(Ticket).show_lines(state)
            return
        self.serial, self._asked, self._palette = self.serial + 1, new, state.palette
        self.desk.ask(self._asked)
        known = self.desk.known(self._asked)
        if known is not None:
            self._answered(Looked(self.serial, known))
            return
        if self._old is not None:
            self._old.stop()
        self._old = self.set_timer(SLOW, lambda: self.add_class("-old"))

    def _show_wearer(self, state: State) -> None:
        """Say first of all what is severe for whoever wears it."""
        severe, part = standing(state.job, state.palette), self.query_one("#wearer", Static)
        part.display = bool(severe)
        text = standing_text(severe, "A, then w: what to do.")
        if part.content != text:
            part.update(text)

    def _same(self, new: Asked, state: State) -> bool:
        """Return whether what is asked is answered already: a title or a note changes no answer."""
        known = self._asked is not None and self._asked.key == new.key
        return known and self._palette is state.palette

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
                ("j ", "$primary"), (f"{state.job.title} ", "bold"), (f" {name}{mark}", "$foreground 65%"),
                (f"  {where}", "$foreground 65%"),
                (f"  {self.look.basis} figures" if self.look else "", "italic $foreground 65%"),
            ),
            layout=False,
        )  # fmt: skip

    @on(events.Click, "#bar")
    def _bar_clicked(self) -> None:
        self.app.call_later(self.app.run_action, "go('costume')")

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
        except Refusal as problem:
            self.notify(str(problem), severity="warning")

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
            self.app.call_later(self.app.run_action, "go('by_eye')")
            return
        after = chosen(message.field, self.holder.state, message.choice.value)
        if isinstance(after, str):
            self.notify(after, severity="warning")
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
        self._fresh()
        self._show_look(message.look)
        self.query_one(Sparkle).show(message.look)
        self.query_one(Sight).show(message.serial, message.look)
        if self.painted != message.serial:
            self.offers, self.painted = None, message.serial
            self.query_one("#offers", Offers).show(None)
            self.query_one(Ticket).show_lines(self.state)
        # Its parts ask for their new layout a moment from now.
        self.set_timer(SOON, lambda: self.call_after_refresh(self.desk.painted, message.serial))

    def _show_look(self, look: Look) -> None:
        """Show an answer in words; what is accepted is the present state's."""
        concerns = [one for one, _ in look.concerns]
        self.look = replace(look, concerns=told(concerns, self.state.pairing.accept))
        self.show_bar()
        self.query_one(Words).show(self.look, self._room())
        if isinstance(self.app.screen, ConcernsScreen):
            self.app.screen.show(concerns)

    def _room(self) -> int:
        """Return how many warnings there is room for."""
        return 4 if self.has_class("-tall") else 1

    @on(Drawn)
    def _drawn(self, message: Drawn) -> None:
        if message.serial == self.serial:
            self.query_one(Sight).drawn(message)

    @on(Offered)
    def _offered(self, message: Offered) -> None:
        if message.serial == self.serial:
            self.offers = message.offers
            self.query_one("#offers", Offers).show(message.offers, _NO_OFFERS)
            if isinstance(self.app.screen, OffersScreen):
                self.app.screen.show(message.offers, _NO_OFFERS)

    @on(Failed)
    def _failed(self, message: Failed) -> None:
        if message.serial == self.serial:
            self._refuse(message.sentence)

    def _refuse(self, sentence: str) -> None:
        self.look = self.offers = None
        self._fresh()
        self.query_one(Ticket).show_lines(self.state)
        self.query_one(Words).refuse(sentence)
        self.query_one(Sight).clear()

    def _fresh(self) -> None:
        if self._old is not None:
            self._old.stop()
        self.remove_class("-old")

    def on_resize(self) -> None:
        """Show as many warnings as there is room for now."""
        if self.look is not None:
            self.call_after_refresh(self.query_one(Words).show, self.look, self._room())

    def action_tilt(self) -> None:
        """Let the cloth tilt to and fro a few times; once more stops it."""
        self.query_one(Sight).swing()

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
            self.app.push_screen(OffersScreen(self.offers, self.holder.depth), self._swapped)

    def _swapped(self, offer: Instead | None) -> None:
        if offer is not None:
            self.take(offer)

    def action_concerns(self) -> None:
        """Show every warning, and what to do about it."""
        if self.look is None:
            return
        state = self.state
        who = [by.who for line in state.job.lines for by in line.accept]
        self.app.push_screen(
            ConcernsScreen(
                (one for one, _ in self.look.concerns), state.pairing.accept, self._accept,
                who[-1] if who else state.job.maker,
            )
        )  # fmt: skip

    def _accept(self, accept: tuple[Acceptance, ...]) -> None:
        self.apply(self.holder.state.with_line(accept=accept))

    def action_figures(self) -> None:
        """Show the figures behind the words."""
        if self.look is not None:
            self.app.push_screen(FiguresScreen(self.look))

    def action_undo(self) -> None:
        """Take the last change back."""
        if (state := undone(self.holder.state, self.notify)) is not None:
            self.apply(state)

    def action_redo(self) -> None:
        """Do again what was taken back."""
        if (state := redone(self.holder.state, self.notify)) is not None:
            self.apply(state)

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
