"""The screen of the client's page."""

from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import ClassVar, Final

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message

from planner.app.answer_worker import fault
from planner.app.brief import quote_form
from planner.app.brief.content import said
from planner.app.brief.thumb import Thumb
from planner.app.brief.worker import Made, Wish, made
from planner.app.depth import BANNERS, Depth, depth_of
from planner.app.dialogs import SureScreen, TextScreen
from planner.app.form.screen import FormScreen
from planner.app.job_holder import JobHolder
from planner.app.newest_worker import NewestWorker
from planner.app.parts.footer import Footer
from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.photo.files import is_file, path_of
from planner.app.second_process import ProcessLostError, SameProcess, SecondProcess, parcel
from planner.brief.gather import MOST_IN_FULL
from planner.brief.page import Brief, save_as, save_phone
from planner.brief.save import FORMS, checked
from planner.job.companions import companion
from planner.job.today import today
from planner.reading.matter import FINE, Grade
from planner.refusal import Refusal
from planner.say.names import counted

_MOST_CHOSEN: Final = 9
"""Lines that have a key to be shown in full."""

_WAIT: Final = "Making the page: reading each pairing, looking for others, drawing. A few seconds …"
_FORMS: Final = {
    ".pdf": "to print and to sign",
    ".png": "its pages as one picture",
    "phone": "a tall picture to send: the stones, the answer and the warnings",
    ".txt": "for e-mail and screen readers",
}
_PHONE, _PNG = "phone", ".png"
_NO_OFFERS: Final = "Prices need a file of offers: add one on the order screen."


class Ready(Message):
    """A brief is there, or why it is not."""

    def __init__(self, serial: int, found: Made | None, complaint: str = "") -> None:
        super().__init__()
        self.serial, self.found, self.complaint = serial, found, complaint


class BriefScreen(SteadyScreen[None]):
    """The client's page to be read, its choices, and the files it is saved to.

    Parameters
    ----------
    keeper
        Keeps the job; the size of the paper is a choice of the job's own.
    second
        Makes the page; closed with the screen.
    today
        Day from which deliveries are reckoned; the present one when not given.
    grade
        How finely light is followed.

    """

    DEFAULT_CSS = """
    BriefScreen {
        #brief-head { height: 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
        #brief-caveat { height: auto; padding: 0 1; color: $text-warning; }
        #brief-does, #brief-lines { height: 1; padding: 0 1; }
        #brief-does Button { margin-right: 1; }
        #brief-lines Static { width: auto; padding: 0 1; text-style: bold; }
        #brief-lines Button { min-width: 4; }
        #brief-body { height: 1fr; }
        #brief-page { width: 1fr; height: 1fr; padding: 0 2; max-width: 84; scrollbar-size-vertical: 1; }
        #brief-text { height: auto; }
        #thumb { display: none; width: 30; margin: 0 2; }
        #brief-says { height: auto; max-height: 3; padding: 0 1; background: $surface; }
        &.-broad #thumb { display: block; }
    }
    """
    HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (120, "-broad")]  # noqa: RUF012 - as Textual has it

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "save('.pdf')", "Save PDF"),
        Binding("i", "save('.png')", "Picture"),
        Binding("m", "save('phone')", "Message"),
        Binding("t", "save('.txt')", "Text"),
        Binding("k", "quote", "Quote"),
        Binding("p", "prices", "Prices", show=False),
        Binding("a", "paper", "Paper", show=False),
        Binding("n", "note", "Note", show=False),
        *(Binding(str(one), f"full({one})", show=False) for one in range(1, _MOST_CHOSEN + 1)),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(
        self, keeper: JobHolder, second: SecondProcess | SameProcess, *, today: date | None = None,
        grade: Grade = FINE,
    ) -> None:  # fmt: skip
        super().__init__()
        self._keeper, self._second, self._today, self._grade = keeper, second, today, grade
        self._parcel = parcel(keeper.state.palette)
        self._serial = 0
        self._note, self._prices, self._quote = False, True, False
        count = len(keeper.state.job.lines)
        self._full = tuple(range(1, min(count, MOST_IN_FULL) + 1))
        self.found: Made | None = None
        """The page as it is shown, or was before the last choice."""
        self._worker: NewestWorker[Wish] = NewestWorker(self._work)

    def compose(self) -> ComposeResult:
        """Lay out the choices, the page and its small picture, and what is said of saving."""
        yield Static(id="brief-head")
        yield Static(BANNERS[self._depth], id="brief-caveat")
        with Horizontal(id="brief-does"):
            yield Button("", id="prices", compact=True)
            yield Button("", id="paper", compact=True)
            yield Button("", id="note", compact=True)
            yield Button("", id="quote", compact=True)
        count = len(self._keeper.state.job.lines)
        if count > 1:
            with Horizontal(id="brief-lines"):
                yield Static("In full")
                for one in range(1, min(count, _MOST_CHOSEN) + 1):
                    yield Button("", id=f"full-{one}", compact=True)
        with Horizontal(id="brief-body"):
            with VerticalScroll(id="brief-page"):
                yield Static(id="brief-text")
            yield Thumb(self._depth)
        yield Static(id="brief-says")
        yield Footer()

    def on_mount(self) -> None:
        """Have the page made."""
        self.query_one("#brief-caveat").display = bool(BANNERS[self._depth])
        self.query_one("#brief-page").focus()
        self._ask()

    def on_unmount(self) -> None:
        """Work out nothing any more."""
        self._worker.close()
        self._second.close()

    @property
    def _depth(self) -> Depth:
        return depth_of(self.app.console.color_system, no_color=self.app.no_color)

    @property
    def idle(self) -> bool:
        """Whether the page is as it was asked for."""
        return self._worker.idle

    # The page.

    def _ask(self) -> None:
        self._serial += 1
        state = self._keeper.state
        where = state.file.path if state.file else None
        self._worker.ask(Wish(
            self._serial, self._parcel, state.job, self._full, self._note, self._prices,
            companion(state.job.offers, where), companion(state.job.stock, where),
            self._today or today(), self._grade, where.parent if where else None, self._quote,
        ))  # fmt: skip
        self._name_buttons()
        self._say("" if self.found is None else _WAIT)
        if self.found is None:
            self.query_one("#brief-text", Static).update(Content(_WAIT))

    def _work(self, wish: Wish) -> None:
        try:
            told = Ready(wish.serial, self._second.call(made, wish))
        except ProcessLostError:
            told = Ready(wish.serial, None, "The page was not finished; leave this screen and open it again.")
        except Refusal as problem:
            told = Ready(wish.serial, None, str(problem))
        except Exception as problem:  # noqa: BLE001 - a fault of ours must not leave the screen waiting
            told = Ready(wish.serial, None, fault(problem))
        with suppress(RuntimeError):  # the interface may be gone
            self.post_message(told)

    @on(Ready)
    def _ready(self, message: Ready) -> None:
        if message.serial != self._serial:
            return
        found = message.found
        if found is None:
            self.found = None
            self.query_one("#brief-text", Static).update(Content(f"There is no page: {message.complaint}"))
            self.query_one(Thumb).show(())
            self._say("")
            return
        self.found = found
        self.query_one("#brief-text", Static).update(said(found.brief.whole, self._depth))
        self.query_one(Thumb).show(found.pages)
        self._name_buttons()
        pages = counted(found.brief.pages, "page")
        lost = f" Without prices: {found.complaint}." if found.complaint else ""
        short = f" {found.brief.no_room}" if found.brief.no_room else ""
        self._say(f"{pages}. Read it as your client will; d, i, m or t saves it.{short}{lost}")

    def _say(self, text: str) -> None:
        says = self.query_one("#brief-says", Static)
        says.display = bool(text)
        says.update(Content(text))

    def _name_buttons(self) -> None:
        state, found = self._keeper.state, self.found
        name = state.file.path.name if state.file else "not saved under a name yet"
        self.query_one("#brief-head", Static).update(
            Content.assemble(" The client's page  ", (state.job.title, "bold"), f"  {name}")
        )
        priced = "shown" if self._prices else "left out"
        if not state.job.offers or (found is not None and not found.priced):
            priced = "not known"
        self._label("prices", f"p Prices {priced}")
        self._label("paper", f"a Paper {state.job.paper}")
        note = "printed" if self._note else "left out"
        self._label("note", f"n Note {note if state.job.note else 'none'}")
        self._label("quote", f"k Quote {'printed' if self._quote else 'left out'}")
        for button in self.query("#brief-lines Button"):
            number = (button.id or "").removeprefix("full-")
            self._label(f"full-{number}", f"{number}{'●' if int(number) in self._full else '○'}")

    def _label(self, button: str, label: str) -> None:
        self.query_one(f"#{button}", Button).label = Content(label)

    # The choices.

    @on(Button.Pressed, "#prices")
    def action_prices(self) -> None:
        """Show what the stones come to, or leave it out."""
        if not self._keeper.state.job.offers:
            self._say(_NO_OFFERS)
            return
        if self._quote:
            self._say("A quote tells what the stones come to: leave it out first (k).")
            return
        self._prices = not self._prices
        self._ask()

    @on(Button.Pressed, "#paper")
    def action_paper(self) -> None:
        """Take the other paper; the job remembers it."""
        state = self._keeper.state
        self._keeper.apply(state.with_job(paper="A4" if state.job.paper == "Letter" else "Letter"))
        self._ask()

    @on(Button.Pressed, "#note")
    def action_note(self) -> None:
        """Print the job's note, or leave it out."""
        if not self._keeper.state.job.note:
            self._say("The job has no note; add one on the costume's screen (j).")
            return
        self._note = not self._note
        self._ask()

    @on(Button.Pressed, "#quote")
    @work
    async def action_quote(self) -> None:
        """Ask what a quote says and print it; or leave it out again."""
        if self._quote:
            self._quote = False
            self._ask()
            return
        state = self._keeper.state
        form = FormScreen("A quote for your client", quote_form.asked(state.job))
        texts = await self.app.push_screen_wait(form)
        if texts is None:
            return
        try:
            self._keeper.apply(state.with_job(**quote_form.changes(texts)))
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=8)
            return
        self._quote = self._prices = True
        self._ask()

    def action_full(self, number: int) -> None:
        """Show a line in full, or no longer; of two, the one chosen first makes room for a third."""
        if number > len(self._keeper.state.job.lines):
            return
        if number in self._full:
            if len(self._full) == 1:
                self._say("At least one pairing has to be shown in full.")
                return
            self._full = tuple(one for one in self._full if one != number)
        else:
            self._full = (*self._full, number)[-MOST_IN_FULL:]
        self._ask()

    @on(Button.Pressed)
    def _chosen(self, event: Button.Pressed) -> None:
        number = (event.button.id or "").removeprefix("full-")
        if number.isdigit():
            self.action_full(int(number))

    # Saving.

    def action_save(self, form: str) -> None:
        """Ask for a name, and save."""
        if self.found is None or not self.idle:
            self._say(
                "The page is not made yet." if self._worker.idle is False else "There is no page to save."
            )
            return
        self._save(self.found.brief, form)

    @work(exclusive=True)
    async def _save(self, page: Brief, form: str) -> None:
        value = str(self._suggested(form))
        while True:
            kind = "a picture for a message" if form == _PHONE else form[1:].upper()
            asked = TextScreen(f"Save as {kind}", f"Name of the file, {_FORMS[form]}:", value)
            typed = await self.app.push_screen_wait(asked)
            if typed is None:
                self._say("Nothing was saved.")
                return
            value, path = typed, _path(typed, _PNG if form == _PHONE else form)
            replace = False
            if is_file(path):
                there = Content(f"{path} is there already. It has not been touched.")
                sure = SureScreen("There is such a file", there, "Write over it")
                replace = await self.app.push_screen_wait(sure)
                if not replace:
                    continue
            if await self._written(page, path, tall=form == _PHONE, replace=replace):
                return

    async def _written(self, page: Brief, path: Path, *, tall: bool, replace: bool) -> bool:
        self._say(f"Saving {path} …")
        writing = self.run_worker(
            lambda: _write(page, path, tall=tall, replace=replace), thread=True, group="write",
            exit_on_error=False,
        )  # fmt: skip
        complaint = await writing.wait()
        if complaint:
            self.notify(complaint, severity="error", timeout=8)
        self._say(complaint or f"Saved: {path}")
        return not complaint

    def _suggested(self, form: str) -> Path:
        file = self._keeper.state.file
        folder = file.path.parent if file else Path()
        stem = file.path.stem if file else "costume"
        return folder / (f"{stem}-phone{_PNG}" if form == _PHONE else f"{stem}-brief{form}")

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)


def _write(page: Brief, path: Path, *, tall: bool, replace: bool) -> str:
    """Write a file; return why that could not be, or nothing."""
    try:
        checked(path, replace=replace)
        if tall and path.suffix.lower() != _PNG:
            return f"{path}: the picture for a message is a PNG; give a name that ends in .png"
        (save_phone if tall else save_as)(page, path, replace=replace)
    except Refusal as problem:
        return str(problem)
    return ""


def _path(typed: str, form: str) -> Path:
    """Return the path of a name as typed; one without an ending gets the form's."""
    path = path_of(typed).absolute()
    # What has no name is the root of all folders, and is refused when it is written.
    named = path.suffix.lower() in FORMS or not path.name
    return path if named else path.with_name(f"{path.name}{form}")
