"""The screen of the areas: what each takes, one of them from above, and what all of them come to."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import ClassVar, Final, TypeVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets.option_list import Option

from planner.app.answer_worker import fault
from planner.app.cover import content
from planner.app.cover.area_form import texts_of, with_area
from planner.app.cover.area_screen import AreaScreen
from planner.app.cover.pattern import Pattern
from planner.app.cover.worker import Above, above
from planner.app.depth import BANNERS, Depth
from planner.app.job_holder import JobHolder, redone, undone
from planner.app.newest_worker import NewestWorker
from planner.app.parts import told
from planner.app.parts.footer import Footer
from planner.app.parts.plain import OptionList, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.parts.told import parts_content
from planner.app.parts.tones import wearer_text
from planner.app.sheets import Sheet
from planner.app.state import State
from planner.assess import guarded
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import sizes
from planner.cover.practice import in_gross
from planner.cover.sizes_picture import USUAL, USUAL_MM
from planner.cover.totals import Totals, totals
from planner.job import Job
from planner.job.area import Area
from planner.refusal import Refusal
from planner.say.cover import needs_section, unplaced_part, usual_section, work_section
from planner.say.fixing import fixing_document
from planner.say.names import counted
from planner.say.sizes import sizes_document

_WAIT: Final = Content.styled("Working it out …", "italic $secondary")
_HIGH: Final = 40
"""Lines from which the picture of sizes is drawn twice as large."""

_PAGE: Final = 66
"""Columns that a page laid over the screen has for its text."""

T = TypeVar("T")


@dataclass(frozen=True)
class _Wish:
    """What is to be worked out."""

    serial: int
    job: Job
    palette: Palette
    number: int | None
    """Which area is looked at, from 0."""
    pixels: tuple[int, int]


class Summed(Message):
    """What the areas come to, or one sentence on why that is not known."""

    def __init__(self, serial: int, found: Totals | str) -> None:
        super().__init__()
        self.serial, self.found = serial, found


class Seen(Message):
    """An area from above, or one sentence on why it is not."""

    def __init__(self, serial: int, found: Above | str) -> None:
        super().__init__()
        self.serial, self.found = serial, found


class Areas(OptionList):
    """The areas; a click looks at one, and a click on the one looked at changes it, as Enter does."""

    def _on_click(self, event: events.Click) -> None:  # type: ignore[override]  # theirs waits for nothing
        event.prevent_default()
        clicked = event.style.meta.get("option")
        if clicked is None:
            return
        if self.highlighted == clicked:
            self.action_select()
        else:
            self.highlighted = clicked


class CoverScreen(SteadyScreen[None]):
    """Areas, picture and sums; changes of the job go to its keeper."""

    DEFAULT_CSS = """
    CoverScreen {
        #where { height: 1; padding: 0 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #worn { height: auto; max-height: 4; padding: 0 1; }
        #top { height: 11; }
        #areas { width: 35; height: 100%; background: $surface; border: none; padding: 0 0 0 1; }
        #side { width: 1fr; height: 100%; padding: 0 0 0 1; }
        #caption { height: auto; max-height: 5; text-wrap: nowrap; text-overflow: ellipsis; }
        #none { padding: 1 2; max-width: 80; height: auto; }
        #below { height: 1fr; padding: 0 1; border-top: solid $panel; }
        #below:focus { border-top: solid $primary; }
        #parts { height: auto; layout: vertical; }
        #needs, #work { height: auto; }
        #needs { margin-bottom: 1; }
        &.-tall #top { height: 18; }
        &.-tall #areas { width: 42; padding: 1; }
        &.-tall #side { padding: 1 1 0 1; }
        &.-high #top { height: 1fr; }
        &.-high #below { height: 20; }
        &.-broad #areas { width: 52; }
        &.-broad #parts { layout: horizontal; }
        &.-broad #needs { width: 88; margin-right: 4; }
        &.-broad #work { width: 1fr; }
    }
    """
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall"), (50, "-high")]  # noqa: RUF012 - as Textual has it
    HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (150, "-broad")]  # noqa: RUF012 - as Textual has it

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a,plus", "add", "Add", key_display="a"),
        Binding("c", "change", "Change"),
        Binding("minus,delete", "take_off", "Take off", key_display="-"),
        Binding("w", "fixing", "Fix"),
        Binding("z", "sizes", "Sizes"),
        Binding("j", "costume", "Costume"),
        Binding("tab", "app.focus_next", "Down", show=False),
        Binding("u,ctrl+z", "undo", "Undo", key_display="u"),
        Binding("U,ctrl+y", "redo", "Redo", show=False),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(
        self, keeper: JobHolder, depth: Depth, begun: dict[str, dict[str, str]],
        costume: Callable[[], Awaitable[None]],
    ) -> None:  # fmt: skip
        """Take who keeps the job, what was typed and not kept so far, and how the costume is opened."""
        super().__init__()
        self._keeper, self._depth, self._begun, self._costume = keeper, depth, begun, costume
        self._serial = 0
        self.totals: Totals | str | None = None
        self._worker: NewestWorker[_Wish] = NewestWorker(self._work)

    @property
    def _state(self) -> State:
        return self._keeper.state

    @property
    def idle(self) -> bool:
        """Whether nothing is being worked out."""
        return self._worker.idle

    def compose(self) -> ComposeResult:
        """Lay it out."""
        yield Static(id="where")
        yield Static(BANNERS[self._depth], id="caveat")
        yield Static(id="worn")
        yield Static(content.NO_AREAS, id="none")
        with Horizontal(id="top"):
            yield Areas(id="areas")
            with Vertical(id="side"):
                yield Pattern(self._depth)
                yield Static(id="caption")
        with VerticalScroll(id="below"), Container(id="parts"):
            yield Static(id="needs")
            yield Static(id="work")
        yield Footer()

    def on_mount(self) -> None:
        """Show the areas, and ask what they take."""
        self.query_one("#caveat").display = bool(BANNERS[self._depth])
        self._fill(0)
        self.query_one(Areas).focus()

    def on_unmount(self) -> None:
        """Work out nothing any more."""
        self._worker.close()

    # What is worked out.

    def _ask(self) -> None:
        self._serial += 1
        state, at = self._state, self._at
        self._worker.ask(_Wish(self._serial, state.job, state.palette, at, self.query_one(Pattern).pixels))

    def _work(self, wish: _Wish) -> None:
        """Work out a wish; runs in a thread of its own."""
        self._tell(Summed(wish.serial, _told(lambda: totals(wish.job, wish.palette))))
        number = wish.number
        if number is None or min(wish.pixels) < 2 or self._worker.stale:
            return
        self._tell(Seen(wish.serial, _told(lambda: above(wish.job, wish.palette, number, wish.pixels))))

    def _tell(self, message: Message) -> None:
        try:
            self.post_message(message)
        except RuntimeError:  # the interface is gone, and nobody waits any more
            if self.is_running:
                raise

    @on(Summed)
    def _summed(self, message: Summed) -> None:
        if message.serial == self._serial:
            self.totals = message.found
            self._show_sums()

    @on(Seen)
    def _seen(self, message: Seen) -> None:
        if message.serial != self._serial:
            return
        found = message.found
        self.query_one(Pattern).show(None if isinstance(found, str) else found)
        text = _refused(found) if isinstance(found, str) else content.caption(
            found, self._state.palette, self._depth
        )  # fmt: skip
        self.query_one("#caption", Static).update(text)

    # What is shown.

    @property
    def _at(self) -> int | None:
        """Which area is looked at."""
        at = self.query_one(Areas).highlighted
        return at if at is not None and at < len(self._state.job.areas) else None

    def _fill(self, at: int) -> None:
        """Show the areas as they are, and look at one of them."""
        job = self._state.job
        there = bool(job.areas)
        self.query_one("#none").display = not there
        self.query_one("#top").display = self.query_one("#below").display = there
        worn = self.query_one("#worn", Static)
        severe = content.standing(job, self._state.palette)
        worn.display = bool(severe)
        worn.update(wearer_text(severe, "w shows all, and what to do."))
        self._list(at)
        self.query_one(Pattern).show(None)
        self.query_one("#caption", Static).update(_WAIT)
        self._title()
        if there:
            self._ask()

    def _list(self, at: int) -> None:
        areas, job = self.query_one(Areas), self._state.job
        found = self.totals if isinstance(self.totals, Totals) else None
        known = {} if found is None else {one.area: one.stones for one in found.areas}
        with self.prevent(OptionList.OptionHighlighted):
            areas.clear_options()
            areas.add_options([Option(content.area_text(one, known.get(one))) for one in job.areas])
            if job.areas:
                areas.highlighted = max(0, min(at, len(job.areas) - 1))

    def _title(self) -> None:
        job = self._state.job
        count = len(job.areas)
        all_of_it = ""
        if isinstance(self.totals, Totals) and count:
            all_of_it = f" · {in_gross(self.totals.count)} with spares"
        areas = f" · {counted(count, 'area')}" if count else ""
        self.query_one("#where", Static).update(Content.assemble(
            ("Areas ", "bold $primary"), (job.title, "bold"), (f"{all_of_it}{areas}", content.FAINT),
        ))  # fmt: skip

    def _show_sums(self) -> None:
        found, state = self.totals, self._state
        needs, about = self.query_one("#needs", Static), self.query_one("#work", Static)
        if found is None or isinstance(found, str):
            needs.update(_WAIT if found is None else _refused(found))
            about.update("")
            return
        room = min(88, max(40, self.size.width - 6))
        parts = [needs_section(found, state.job, state.palette), unplaced_part(found, state.palette)]
        needs.update(parts_content(parts, room=room))
        work = work_section(found, state.job, "press j and give your hourly rate")
        about.update(parts_content([work, usual_section(found, state.job)]))
        self._list(self._at or 0)
        self._title()

    @on(OptionList.OptionHighlighted)
    @on(Pattern.Resized)
    def _look(self) -> None:
        if self._at is not None:
            self._ask()

    def on_resize(self) -> None:
        """Lay the table out anew."""
        if self.totals is not None:
            self.soon(self._show_sums)

    # What can be done.

    @on(OptionList.OptionSelected)
    def action_change(self) -> None:
        """Change the area looked at."""
        if self._at is not None:
            self._fill_in(self._state.job.areas[self._at])
        else:
            self.notify("There is no area yet; a adds one.")

    def action_add(self) -> None:
        """Add an area."""
        self._fill_in(None)

    @work
    async def _fill_in(self, area: Area | None) -> None:
        """Ask for an area; what is typed and not kept is there when it is asked for again."""
        job, name = self._state.job, "" if area is None else area.name
        first = texts_of(area, job)
        left = self._begun.pop(name, {})
        texts = {**first, **{key: text for key, text in left.items() if key in first}}
        title = "A new area" if area is None else f"Area: {name}"
        form = AreaScreen(title, texts, job, self._state.palette, area)
        answers = await self.app.push_screen_wait(form)
        if answers is None:
            if form.left != first:
                self._begun[name] = form.left
                self.notify(f"Not kept; {'a' if area is None else 'c'} goes on from what you typed.")
            return
        at = len(job.areas) if area is None else job.areas.index(area)
        try:
            after, _ = with_area(answers, job, area)
        except Refusal as problem:
            self._begun[name] = answers
            self.notify(str(problem), severity="warning")
            return
        self._keep(self._state.with_job(lines=after.lines, areas=after.areas), at)

    def action_take_off(self) -> None:
        """Take the area looked at off the garment."""
        at, areas = self._at, self._state.job.areas
        if at is None:
            self.notify("There is no area to take off.")
            return
        self._keep(self._state.with_job(areas=areas[:at] + areas[at + 1 :]), at)
        self.notify(f"{areas[at].name} is taken off; u brings it back.")

    def _keep(self, state: State, at: int) -> None:
        self._keeper.apply(state)
        self._fill(at)

    def action_undo(self) -> None:
        """Take the last change back."""
        if (state := undone(self._state, self.notify)) is not None:
            self._keep(state, self._at or 0)

    def action_redo(self) -> None:
        """Do again what was taken back."""
        if (state := redone(self._state, self.notify)) is not None:
            self._keep(state, self._at or 0)

    def action_fixing(self) -> None:
        """Show how to fix the stones, and what to be careful of."""
        state = self._state
        try:
            worn = guarded(state.job, state.palette)
            answer = fixing_document(state.job, state.palette, worn, None)
            page = told.content(answer)
        except Refusal as problem:
            page = _refused(str(problem))
        self.app.push_screen(Sheet("How to fix them", page))

    def action_sizes(self) -> None:
        """Show stone sizes in true proportion."""
        own = {line.size for line in self._state.job.lines}
        names = [name for name in sizes() if name in own or name in USUAL]
        columns = min(_PAGE, max(50, self.size.width - 10))
        mm = USUAL_MM if self.size.height >= _HIGH else 2.0 * USUAL_MM
        self.app.push_screen(
            Sheet("Stone sizes", told.content(sizes_document(names, columns, mm, own=own), room=columns))
        )

    @work
    async def action_costume(self) -> None:
        """Open the costume: who wears it, what it meets, fibre, fixing, spares, money."""
        await self._costume()
        self._fill(self._at or 0)

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)


def _told(found: Callable[[], T]) -> T | str:
    """Return what was found, or why it could not be, in one sentence."""
    try:
        return found()
    except Refusal as problem:
        return str(problem)
    except Exception as problem:  # noqa: BLE001 - a fault of ours must not leave the screen waiting
        return fault(problem)


def _refused(sentence: str) -> Content:
    said_so = f"{sentence[:1].upper()}{sentence[1:].rstrip('.')}."
    return Content.styled(f"✗ {said_so}", "$error")
