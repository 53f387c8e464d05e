"""One job at a time, and what must not be lost: drafts, files, unsaved changes, messages."""

import asyncio
import os
import signal
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import replace
from pathlib import Path

from textual import work
from textual.app import ScreenStackError
from textual.css.query import NoMatches
from textual.events import Event, InputEvent
from textual.timer import Timer
from textual.worker import WorkerFailed

from planner.app.answer_worker import fault
from planner.app.dialogs import LeavingScreen, TextScreen
from planner.app.drafts import Drafts, Left, discard, taken_up
from planner.app.main_screen import MainScreen
from planner.app.palette_app import PaletteApp
from planner.app.photo.files import path_of
from planner.app.second_process import SameProcess, SecondProcess
from planner.app.start import Start, StartScreen
from planner.app.state import State, new_state, state_of
from planner.catalogue.palette import Palette, load, sources
from planner.job import JobFile, new_job_file, read_job_file
from planner.job.companions import carried
from planner.refusal import Refusal

KEEP = 0.8
"""Seconds after a change until the draft is written."""

HEARD_WITHIN = 0.5
"""Seconds in which a signal is heard, whatever the loop waits for (our choice)."""


class JobApp(PaletteApp):
    """An app that holds one job and loses none of its work.

    Parameters
    ----------
    palette
        Every entry at hand.
    state
        The job to begin with; a new one when not given.
    drafts
        Keeps what is not saved.
    palettes
        Read instead of the demo and the person's own folder when another job is opened.

    """

    main: MainScreen
    second: SecondProcess | SameProcess
    """Does the work of seconds, for the screen on top."""

    def __init__(
        self, palette: Palette, state: State | None, drafts: Drafts | None, palettes: Path | None
    ) -> None:
        super().__init__(palette, palettes)
        self.state = state or new_state(palette)
        self.drafts = drafts or Drafts()
        self.begun: dict[str, dict[str, str]] = {}
        """What was typed of areas and not kept, by the name of the area; empty for a new one."""
        self._keeping: Timer | None = None
        self._left = False
        """Whether unsaved work was seen to, and the planner may end."""
        self._switching = False
        """Whether somebody is being asked for another job."""

    # What must not be lost.

    def apply(self, state: State) -> None:
        """Make `state` the present one, soon keep it in the draft, and show it."""
        changed = state.job != self.state.job
        self.state = state
        if changed:
            if self._keeping is not None:
                self._keeping.stop()
            self._keeping = self.set_timer(KEEP, self.keep)
        if self.main in self.screen_stack:
            self.main.show_job()

    async def on_event(self, event: Event) -> None:
        """Take an event; keys and clicks that come when the planner or its last screen is left do nothing."""
        if not isinstance(event, InputEvent) or (self.screen_stack and not self._exit):
            await super().on_event(event)

    def heed_signals(self) -> None:
        """Keep the work and give the terminal back when the system, or a closed window, ends the planner.

        The loop's own handlers would miss a signal that comes while nothing can be drawn: what waits by then
        fills the pipe by which they wake it.
        """
        loop = asyncio.get_running_loop()

        def heard(number: int, _: object) -> None:
            with suppress(RuntimeError):  # the loop is closed: it ends already
                loop.call_soon_threadsafe(self._ended_by, number)

        def wake() -> None:
            # Python hears a signal when the loop goes on. One that comes just before it waits would else be
            # heard by nobody, and the planner whose window is closed never end.
            loop.call_later(HEARD_WITHIN, wake)

        for name in ("SIGTERM", "SIGHUP", "SIGQUIT"):
            if hasattr(signal, name):  # Windows has not all
                signal.signal(getattr(signal, name), heard)
        wake()

    def _ended_by(self, number: int) -> None:
        self._keep_for_later()
        self.exit(return_code=128 + number)

    def on_exit_app(self) -> None:
        """Keep the work when a browser's window is closed, which asks nobody."""
        self._keep_for_later()

    def _keep_for_later(self) -> None:
        """Keep the work for the next start, unless somebody left or it is kept so already."""
        if self._left:
            return
        with suppress(Exception):
            self.keep()
            self.drafts.let_go()
        self._left = True

    def _handle_exception(self, error: Exception) -> None:
        """End the planner by a fault; while it is left, a widget or screen that is gone already is none."""
        cause = error.error if isinstance(error, WorkerFailed) else error
        if not (self._exit and isinstance(cause, (NoMatches, ScreenStackError))):
            super()._handle_exception(error)

    def _fatal_error(self) -> None:
        """Keep the work and leave with one sentence; Textual would print a traceback.

        ``PLANNER_TRACE=1`` shows it all the same.
        """
        with suppress(Exception):
            self.keep()
        if os.environ.get("PLANNER_TRACE") == "1":
            super()._fatal_error()
            return
        kept = f" Your work is kept in {self.drafts.path}." if self.drafts.path else ""
        self._exit_renderables.append(f"{fault(sys.exc_info()[1] or Exception())}{kept}")
        self._close_messages_no_wait()

    def keep(self) -> None:
        """Keep the job in the draft, or drop the draft where nothing is unsaved; once left, do nothing.

        On a busy machine the time to keep it may come while all is closed, and it would be kept twice.
        """
        self._keeping = None
        if self._left:
            return
        if not self.state.unsaved:
            self.drafts.drop()
            return
        new = self.drafts.path is None
        try:
            path = self.drafts.keep(self.state)
        except Refusal as problem:
            self.notify(f"Changes are not kept: {problem}", severity="error", timeout=10)
            return
        except Exception as problem:  # noqa: BLE001 - the work on the screen must outlive it
            self.notify(f"Changes are not kept. {fault(problem)}", severity="error", timeout=20)
            return
        if new:
            self.notify(f"Changes kept: {_short(path)}")

    def _change_job(self, state: State) -> None:
        """Show another job in place of the present one."""
        if self._keeping is not None:
            self._keeping.stop()
            self._keeping = None
        self.drafts.drop()
        if state.palette is not self.palette:
            self.palette = state.palette
            self.answer_worker.use(state.palette)
        self.state = state
        if self.main not in self.screen_stack:
            self.push_screen(self.main)
        else:
            self.main.show_job()
        if state.unsaved:
            self.keep()

    async def action_quit(self) -> None:
        """Leave, after asking about unsaved changes."""
        self._leave()

    @work
    async def _leave(self) -> None:
        asking = any(isinstance(screen, LeavingScreen) for screen in self.screen_stack)
        if not asking and await self._may_go():
            self._left = True
            self.exit()

    async def _may_go(self) -> bool:
        """Ask what becomes of unsaved changes; False is to stay."""
        if not self.state.unsaved or self.main not in self.screen_stack:
            return True
        if self._keeping is not None:
            self._keeping.stop()
        self.keep()
        what = self.state.file.path.name if self.state.file else f'"{self.state.job.title}"'
        answer = await self.push_screen_wait(LeavingScreen(what, self.drafts.path))
        if answer == "save":
            return await self._save()
        if answer == "discard":
            self.drafts.drop()
        elif answer == "draft":
            self.drafts.let_go()
        return answer is not None

    # New, open, save.

    @asynccontextmanager
    async def _one_at_a_time(self) -> AsyncIterator[bool]:
        """Yield whether nobody is being asked for another job yet: keys may come faster than screens."""
        free, self._switching = not self._switching, True
        try:
            yield free
        finally:
            self._switching = not free

    @work
    async def action_new_job(self) -> None:
        """Begin another job."""
        async with self._one_at_a_time() as free:
            if free and await self._may_go():
                await self._started(await self._asked_what())

    @work
    async def begin(self) -> None:
        """Ask what to begin with, and begin."""
        async with self._one_at_a_time():
            await self._started(await self._asked_what())

    async def _asked_what(self) -> Start | None:
        return await self.push_screen_wait(StartScreen(self.drafts.left(), self.depth))

    async def _started(self, start: Start | None) -> None:
        """Begin with what was chosen; where that fails, with a new costume."""
        state: State | None = None
        if start is not None and start.kind == "open":
            path = await self._ask_path("Open a job", "Name of the file; → completes it.", "")
            state = None if path is None else self._read(path)
        elif start is not None and start.path is not None:
            state = self._read(start.path, named=False)
        elif start is not None and start.kind == "drafts":
            left = await self._chosen_draft()
            if left is None:
                await self._started(await self._asked_what())
                return
            self._take_up(left)
        elif start is not None and start.left is not None:
            self._take_up(start.left)
        elif start is not None:
            await self._asked_first(start)
            return
        if state is not None:
            self._change_job(state)
        elif self.main not in self.screen_stack:
            self._change_job(new_state(self.palette))

    async def _asked_first(self, start: Start) -> None:
        """Show her stones, or ask about a new costume; where nothing is begun, ask what to begin with."""
        from planner.app.new_costume import new_costume, show_drawer, show_stones

        if start.kind == "stones":
            await show_stones(self)
        elif start.kind == "drawer":
            await show_drawer(self)
        elif (state := await new_costume(self)) is not None:
            self._change_job(state)
            return
        if self.main not in self.screen_stack:
            await self._started(await self._asked_what())

    async def recover_a_draft(self) -> None:
        """Show all work left behind, and go on with what is taken up."""
        left = await self._chosen_draft()
        if left is not None and await self._may_go():
            self._take_up(left)

    async def _chosen_draft(self) -> Left | None:
        from planner.app.recover_drafts import RecoverDraftsScreen

        def throw(left: Left) -> None:
            discard(left.path)

        return await self.push_screen_wait(RecoverDraftsScreen(self.drafts.left(), throw))

    def _take_up(self, left: Left) -> None:
        """Go on with a draft; what was left is deleted once a draft of this planner holds it."""
        try:
            state = taken_up(left, self.palette)
        except Refusal as problem:
            self.notify(str(problem), severity="error", timeout=10)
            return
        self._change_job(state)
        if self.drafts.path is not None or not state.unsaved:
            discard(left.path)

    @work
    async def action_open_job(self) -> None:
        """Open a job file."""
        async with self._one_at_a_time() as free:
            if not free or not await self._may_go():
                return
            path = await self._ask_path("Open a job", "Name of the file; → completes it.", "")
            state = None if path is None else self._read(path)
            if state is not None:
                self._change_job(state)

    def _read(self, path: Path, *, named: bool = True) -> State | None:
        """Return a job file's state; what comes with the planner is opened as a copy without a name."""
        try:
            file = read_job_file(path)
            # Palette files beside the job are read as well.
            read = load(*sources(job=path, palettes=self.palettes)) if named else self.palette
            palette = replace(read, mine=self.palette.mine)
            self.tell_notes(file)
            return state_of(file.job, palette, file if named else None, path)
        except Refusal as problem:
            self.notify(str(problem), severity="error", timeout=10)
            return None

    def tell_notes(self, file: JobFile | None) -> None:
        """Tell what of a job is read in another way than it is written."""
        for note in () if file is None else file.notes:
            self.notify(note, severity="warning", timeout=12)

    async def _ask_path(self, title: str, text: str, value: str) -> Path | None:
        found = await self.push_screen_wait(TextScreen(title, text, value, path=True))
        return None if found is None else path_of(found)

    @work
    async def action_save_job(self) -> None:
        """Save the job in its file, or ask for a name."""
        await self._save()

    @work
    async def action_save_as(self) -> None:
        """Save the job in a new file."""
        await self._save(other=True)

    async def _save(self, *, other: bool = False) -> bool:
        """Save; a name is asked for where the job has none. Return whether it is saved."""
        state = self.state
        file = None if other else state.file
        if file is None:
            name = "-".join(state.job.title.lower().split())[:60] + ".toml"
            path = await self._ask_path(
                "Save the job", "Name of a new file; a file that is there already is not overwritten.", name
            )
            if path is None:
                return False
            # A folder's root has no name that could be lengthened; it is refused below.
            path = path if path.suffix or not path.name else path.with_suffix(".toml")
            if moved := carried(state.job, state.file.path if state.file else None, path):
                self.state = state = state.with_job(**moved)
            file = new_job_file(path, state.job)
        try:
            saved = file.with_job(state.job).save()
        except Refusal as problem:
            text = f"{problem}. Your changes stay in the draft; save under another name with Ctrl+P."
            self.notify(text, severity="error", timeout=12)
            return False
        self.state = state.saved(saved)
        self.drafts.drop()
        if self.main.here:  # it is not while the start screen asks
            self.main.show_bar()
        self.notify(f"Saved in {saved.path}.")
        return True


def _short(path: Path) -> str:
    """Return a path so that it fits one line of a narrow screen."""
    home = Path.home()
    return f"~/{path.relative_to(home)}" if path.is_relative_to(home) else str(path)
