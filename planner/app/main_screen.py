"""The main screen: what is to be seen leads, the words stand below it, and beside them what is chosen."""

from collections.abc import Iterator
from contextlib import ExitStack
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical
from textual.timer import Timer

from planner.app.ahead import SEEN_FIELDS, in_list, neighbours, with_offer
from planner.app.answer import Answer
from planner.app.answer_content import Told, VerdictLine, Words
from planner.app.answer_worker import (
    Answered,
    AnswerWorker,
    ChoicesSeen,
    Failed,
    InsteadFound,
    LinesAnswered,
)
from planner.app.concerns import ConcernsScreen
from planner.app.depth import BANNERS, Depth
from planner.app.fields import BY_EYE, FIELDS, Field, chosen, stepped
from planner.app.instead import InsteadList, InsteadScreen
from planner.app.job_bar import JobBar
from planner.app.job_holder import JobHolder
from planner.app.lines_screen import LINE_KEYS
from planner.app.parts.footer import Footer
from planner.app.parts.pixels import Way
from planner.app.parts.plain import Static
from planner.app.picker import Picker
from planner.app.pictures_screen import PICTURE_KEYS, PicturesScreen
from planner.app.places import PLACES
from planner.app.request import Request, request
from planner.app.second_process import SameProcess, SecondProcess
from planner.app.sheets import FiguresScreen
from planner.app.sight import Sight, costume_of
from planner.app.state import State
from planner.app.ticket import Costume, Row, Ticket
from planner.assess import guarded
from planner.catalogue.palette import Palette
from planner.job.model import Acceptance
from planner.reading.instead import Instead
from planner.refusal import Refusal

SLOW = 0.15
"""Seconds after which an answer that is not there yet is shown to be old."""

FIRST = 0.2
"""Seconds for which the first answer is waited for before the screen is painted without it: painting twice
takes longer than most first answers."""

_PALER = 0.45
"""How opaque an old answer is."""

_NO_OFFERS = "The palette could not be looked through."


class MainScreen(PicturesScreen):
    """Everything about one line of the job."""

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-normal"), (160, "-wide")]  # noqa: RUF012 - as Textual has it
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012 - as Textual has it

    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(field.key, f"open('{field.key}')", field.label, show=False) for field in FIELDS),
        Binding("i", "offers", "Instead"),
        Binding("e", "concerns", "Warnings"),
        Binding("n", "figures", "Numbers"),
        *(Binding(one.key, f"app.go('{one.name}')", one.label, show=one.footer) for one in PLACES if one.key),
        *PICTURE_KEYS,
        *LINE_KEYS,
    ]

    def __init__(
        self, holder: JobHolder, worker: AnswerWorker, depth: Depth, way: Way = "blocks",
        painter: SecondProcess | SameProcess | None = None,
    ) -> None:  # fmt: skip
        super().__init__(holder, way)
        self._worker, self._depth, self._painter = worker, depth, painter
        self.serial = 0
        self._ahead_of = 0
        """Serial number of the last answer whose neighbours were looked at."""
        self.painted = 0
        """Serial number of the last answer on the screen."""
        self.answer: Answer | None = None
        self._shown: Answer | None = None
        """The answer as it came."""
        self.offers: tuple[Instead, ...] | None = None
        self._answers: dict[tuple[object, ...], Answer] = {}
        """First looks at lines of the costume, by the keys of their requests."""
        self.picking = False
        """Whether the choices of a field are shown."""
        self._preview: State | None = None
        self._request: Request | None = None
        self._palette: Palette | None = None
        self._old: Timer | None = None
        self._unpainted = ExitStack()
        """Holds painting back until the first answer is there."""

    def compose(self) -> ComposeResult:
        """Yield what is to be seen, the words, and what is chosen."""
        yield JobBar(id="bar")
        if BANNERS[self._depth]:
            yield Static(BANNERS[self._depth], id="banner")
        yield Sight(self._depth, self._ways[0], self._painter)
        with Vertical(id="foot"):
            with Container(id="rail"):
                yield Ticket(id="ticket")
                yield Costume(id="costume")
            yield Picker()
            yield VerdictLine(id="verdict")
            yield Words(id="words")
            yield InsteadList(id="offers")
        yield Footer()

    def on_mount(self) -> None:
        """Show the present state, and ask."""
        for one in (self.query_one(Picker), self.query_one("#offers", InsteadList)):
            one.depth = self._depth
        self.query_one("#row-s", Row).focus()
        self._unpainted.enter_context(self.app.batch_update())
        self._update_timer.resume()  # else the library begins to count to its next painting only then
        self.app.set_timer(FIRST, self._paint)  # whatever becomes of this screen
        self.show_state()

    def _paint(self) -> None:
        """Begin to paint, once."""
        self._unpainted.close()
        self.check_idle()

    # What is asked.

    @property
    def state(self) -> State:
        """What is on the screen: a preview, else the present state."""
        return self._preview or self._holder.state

    def show_job(self) -> None:
        """Show the present job, whatever was tried meanwhile."""
        self._preview = None
        self.show_state()

    def show_state(self) -> None:
        """Show the state, and ask about it."""
        state = self.state
        self.query_one(Ticket).show(state, self._depth)
        self.show_bar()
        try:
            new = request(state, self.serial + 1)
        except Refusal as problem:
            self.serial += 1
            self._refuse(str(problem))
            return
        if self.answer is not None and self.painted == self.serial and self._same(new, state):
            self._show_answer(self.answer)
            self._show_lines()
            return
        if self._palette is not state.palette:
            self._answers = {}
        self.serial, self._request, self._palette, self._shown = self.serial + 1, new, state.palette, None
        self._worker.ask(new)
        known = self._worker.known(new)
        if known is not None:
            self._answered(Answered(self.serial, known))
            return
        if self._old is not None:
            self._old.stop()
        self._old = self.set_timer(SLOW, lambda: self.show_old(old=True))

    def _same(self, new: Request, state: State) -> bool:
        """Return whether what is asked is answered already: a title or a note changes no answer."""
        known = self._request
        if known is None or self._palette is not state.palette:
            return False
        return [one.key for one in (known, *known.lines)] == [one.key for one in (new, *new.lines)]

    def _beside(self) -> Iterator[State]:
        """Yield the states that one more key would lead to."""
        picker, focused = self.query_one(Picker), self.focused
        if self.picking and picker.field is not None:
            return in_list(picker.field, self.state, picker.values)
        return neighbours(self.state, focused.field if isinstance(focused, Row) else None)

    def show_bar(self) -> None:
        """Show the job's title and where it is kept."""
        basis = self.answer.basis if self.answer else ""
        self.query_one(JobBar).show(self._holder.state, self._depth, basis, low=self.has_class("-low"))

    def on_resize(self) -> None:
        """Show the title's line anew: what it says depends on the room."""
        if self.is_mounted:
            self.soon(self.show_bar)

    # What is chosen.

    @on(Row.Opened)
    def _open(self, message: Row.Opened) -> None:
        self.open_field(message.field)

    def action_open(self, key: str) -> None:
        """Open the choices of a field by its key."""
        self.open_field(next(field for field in FIELDS if field.key == key))

    def open_field(self, field: Field) -> None:
        """Show the choices of a field in place of the ticket."""
        self._show_picker(picking=True)
        self.query_one(Picker).open(field, self._holder.state)
        if field.key in SEEN_FIELDS and self._request is not None:
            self._worker.see_choices(field.key, self._holder.state.palette, self._request)

    def _show_picker(self, *, picking: bool) -> None:
        self.picking = picking
        self.query_one(Words).set_class(picking, "-picking")
        self.query_one(Picker).display = picking
        self.query_one("#rail").display = not picking

    def _close_picker(self) -> None:
        field = self.query_one(Picker).field
        self._show_picker(picking=False)
        if field is not None:
            self.query_one(f"#row-{field.key}", Row).focus()

    @on(ChoicesSeen)
    def _choices_seen(self, message: ChoicesSeen) -> None:
        picker = self.query_one(Picker)
        if self.picking and picker.field is not None and picker.field.key == message.field:
            picker.show_colours(message.swatch, message.colours)

    @on(Row.Stepped)
    def _step(self, message: Row.Stepped) -> None:
        try:
            self.apply(stepped(message.field, self._holder.state, message.step))
        except Refusal as problem:
            self.notify(str(problem), severity="warning")

    @on(Picker.Looked)
    def _try(self, message: Picker.Looked) -> None:
        if not self.picking:
            return
        after = chosen(message.field, self._holder.state, message.choice.value)
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
        after = chosen(message.field, self._holder.state, message.choice.value)
        if isinstance(after, str):
            self.notify(after, severity="warning")
            return
        self._close_picker()
        self.apply(after)

    @on(Picker.Left)
    def _leave(self) -> None:
        self._close_picker()
        if self._preview is not None:
            self.show_job()

    # What is answered.

    @on(Answered)
    def _answered(self, message: Answered) -> None:
        if message.serial != self.serial or message.answer is self._shown:
            return  # what is remembered is shown at once, and then comes again
        self._shown = message.answer
        self._fresh()
        self._show_answer(message.answer)
        self.query_one(Sight).show(message.serial, message.answer, costume_of(self.state))
        if self.painted != message.serial:
            self.offers, self.painted = None, message.serial
            self.query_one("#offers", InsteadList).show(None)
        self._show_lines()
        # Of what its widgets have to paint the screen knows by the second time alone, and of what was held
        # back once the app has dealt with it: what begins sooner takes turns with the painting.
        self.app.call_later(
            self.call_after_refresh, self.call_after_refresh, self._when_painted, message.serial
        )

    def _when_painted(self, serial: int) -> None:
        """Let work go on that waited for an answer to be painted, and look at what may be asked next."""
        if serial == self.serial and serial != self._ahead_of and self.here:
            self._ahead_of = serial
            self._worker.look_ahead(self.state, self._beside())
        self._worker.painted(serial)

    def _show_answer(self, answer: Answer) -> None:
        """Show an answer in words; what is accepted is the present state's."""
        state = self.state
        self.answer = answer.accepting(state.pairing.accept)
        self.show_bar()
        self._tell(Told(self.answer, wearer=guarded(state.job, state.palette)))
        if isinstance(self.app.screen, ConcernsScreen):
            self.app.screen.show([one for one, _ in answer.concerns])

    def _tell(self, told: Told) -> None:
        self.query_one(VerdictLine).told = self.query_one(Words).told = told

    @on(LinesAnswered)
    def _lines_answered(self, message: LinesAnswered) -> None:
        if message.serial == self.serial and self._request is not None:
            numbered = {one.serial: one.key for one in self._request.lines}
            self._answers |= {numbered[number]: answer for number, answer in message.answers.items()}
            self._show_lines()

    def _show_lines(self) -> None:
        """Show the lines of the costume with what is known of them."""
        state, lines = self.state, () if self._request is None else self._request.lines
        found = {one.serial: self._answers[one.key] for one in lines if one.key in self._answers}
        if self.answer is not None:
            found[state.line] = self.answer
        self.query_one(Costume).show(state, found, self._depth)

    @on(InsteadFound)
    def _instead_found(self, message: InsteadFound) -> None:
        if message.serial == self.serial:
            self.offers = message.offers
            self._worker.look_ahead(self.state, (with_offer(self.state, one) for one in message.offers or ()))
            self.query_one("#offers", InsteadList).show(message.offers, _NO_OFFERS)
            if isinstance(self.app.screen, InsteadScreen):
                self.app.screen.show(message.offers, _NO_OFFERS)

    @on(Failed)
    def _failed(self, message: Failed) -> None:
        if message.serial == self.serial:
            self._refuse(message.sentence)

    def _refuse(self, sentence: str) -> None:
        self.answer = self.offers = None
        self._fresh()
        self._show_lines()
        self._tell(Told(None, sentence, guarded(self.state.job, self.state.palette)))
        self.query_one(Sight).clear()

    def _fresh(self) -> None:
        self.call_after_refresh(self._paint)
        if self._old is not None:
            self._old.stop()
        self.show_old(old=False)

    def show_old(self, *, old: bool) -> None:
        """Show the answer paler, or as it is; a class of the screen would have all of it styled anew."""
        for one in (Sight, VerdictLine, Words):
            # One by one: a search of the whole screen for all three takes as long as painting them.
            self.query_one(one).styles.opacity = _PALER if old else 1.0

    # What else can be done.

    @on(InsteadList.Taken)
    def _taken(self, message: InsteadList.Taken) -> None:
        self.take(message.offer)

    def take(self, offer: Instead) -> None:
        """Swap an offer in for the line looked at."""
        self.apply(with_offer(self._holder.state, offer))
        self.notify("Swapped in; u undoes it.")

    def action_offers(self) -> None:
        """Go to what to order instead."""
        offers = self.query_one("#offers", InsteadList)
        if offers.display:
            offers.focus()
            if offers.offers and offers.highlighted is None:
                offers.highlighted = 0
        else:
            self.app.push_screen(InsteadScreen(self.offers, self._depth), self._swapped)

    def _swapped(self, offer: Instead | None) -> None:
        if offer is not None:
            self.take(offer)

    def action_concerns(self) -> None:
        """Show every warning, and what to do about it."""
        if self.answer is None:
            return
        state = self.state
        who = [by.who for line in state.job.lines for by in line.accept]
        self.app.push_screen(
            ConcernsScreen(
                (one for one, _ in self.answer.concerns), state.pairing.accept, self._accept,
                who[-1] if who else state.job.maker,
            )
        )  # fmt: skip

    def _accept(self, accept: tuple[Acceptance, ...]) -> None:
        self.apply(self._holder.state.with_line(accept=accept))

    def action_figures(self) -> None:
        """Show the figures behind the words."""
        if self.answer is not None:
            self.app.push_screen(FiguresScreen(self.answer))

    @on(Costume.LineChosen)
    def _line_chosen(self, message: Costume.LineChosen) -> None:
        self.apply(self._holder.state.at_line(message.number))
