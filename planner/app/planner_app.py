"""The app: one job at a time, its screens, its keys, and what must never be lost."""

import os
import sys
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import Screen
from textual.timer import Timer

from planner.app.asking import LeavingScreen, TextScreen
from planner.app.depth import Depth, depth_of
from planner.app.desk import Desk, fault
from planner.app.drafts import Drafts, Left, discard, taken_up
from planner.app.fields import FIELDS
from planner.app.main_screen import MainScreen
from planner.app.second_process import Here, SecondProcess
from planner.app.start import Start, StartScreen
from planner.app.state import State, new_state, state_of
from planner.app.themes import THEMES
from planner.catalogue.coating import NONE
from planner.catalogue.errors import PaletteError
from planner.catalogue.palette import Palette, load, sources
from planner.job import new_job_file, read_job_file

KEEP = 0.8
"""Seconds after a change until the draft is written."""

_COMMANDS = (
    ("New costume", "Begin another job", "new_job"),
    ("Open", "Open a job file", "open_job"),
    ("Save", "Save the job in its file", "save_job"),
    ("Save under another name", "Save the job in a new file", "save_as"),
    ("Rename", "Give the costume a title", "rename"),
    ("Undo", "Take the last change back", "screen.undo"),
    ("Redo", "Do again what was taken back", "screen.redo"),
    ("Instead", "What to order instead", "screen.offers"),
    ("Warnings", "Every warning, and what to do about it", "screen.concerns"),
    ("Numbers", "The figures behind the words", "screen.figures"),
    ("All pairings", "Every stone with every coating", "pairings"),
    ("Hues", "How the hue travels, and the spectra", "plot"),
    ("Several venues", "The same in up to four places; make a venue in words", "venues"),
    ("Swatch by eye", "Choose the swatch by eye or in words", "by_eye"),
    ("Tilt", "Let the cloth tilt to and fro", "screen.tilt"),
    ("Add a pairing", "A copy of this one", "screen.add_line"),
    ("Take the pairing off", "Off the costume", "screen.remove_line"),
    ("Help", "Keys, rows and words", "help"),
    ("Leave", "Nothing is lost", "quit"),
)


class PlannerApp(App[None]):
    """The planner on a screen.

    Parameters
    ----------
    palette
        Every entry at hand.
    state
        The job to begin with; without one the start screen asks.
    second
        Does the work of seconds; a process of its own when not given.
    drafts
        Keeps what is not saved.
    depth
        What the console can show; found out when not given.
    palettes
        Read instead of the demo and the person's own folder when another job is opened.

    """

    CSS_PATH = "app.tcss"
    TITLE = "planner"
    ENABLE_COMMAND_PALETTE = True

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,f1", "help", "Help", key_display="?"),
        Binding("ctrl+s", "save_job", "Save", show=False),
        Binding("ctrl+o", "open_job", "Open", show=False),
        Binding("ctrl+n", "new_job", "New costume", show=False),
        Binding("q,ctrl+q,ctrl+c", "quit", "Leave", key_display="q"),
    ]

    def __init__(
        self,
        palette: Palette,
        state: State | None = None,
        *,
        second: SecondProcess | Here | None = None,
        drafts: Drafts | None = None,
        depth: Depth | None = None,
        palettes: Path | None = None,
    ) -> None:
        super().__init__()
        self.palette, self.palettes = palette, palettes
        self.asks = state is None
        self.state = state or new_state(palette)
        self.drafts = drafts or Drafts()
        self.depth: Depth = depth or depth_of(self.console.color_system, no_color=self.no_color)
        self.desk = Desk(palette, self._post, second or SecondProcess())
        self.main = MainScreen(self, self.desk)
        self._keeping: Timer | None = None
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = THEMES[0].name

    def on_mount(self) -> None:
        """Show the main screen, or ask what to begin with."""
        if self.asks:
            self.push_screen(StartScreen(self.drafts.left(), self.depth), self._begin)
        else:
            self.push_screen(self.main)
            if self.drafts.left():
                self.notify("Unsaved work was left behind: Ctrl+N shows it.", timeout=8)

    def on_unmount(self) -> None:
        """End all work."""
        self.desk.close()

    def _post(self, message: Message) -> None:
        self.main.post_message(message)

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Yield every command of the planner, and the choice of theme."""
        if not isinstance(screen, MainScreen):
            return
        for name, text, action in _COMMANDS:
            yield SystemCommand(name, text, self._runs(action))
        for field in FIELDS:
            yield SystemCommand(field.label, field.help, self._runs(f"screen.open('{field.key}')"))
        yield SystemCommand("Theme", "Dark, light or middle grey", self.action_change_theme)

    def _runs(self, action: str) -> Callable[[], object]:
        # The palette runs what it is given while its own screen is still on top.
        return lambda: self.call_later(self.run_action, action)

    # What must not be lost.

    def apply(self, state: State) -> None:
        """Make `state` the present one, and soon keep it in the draft."""
        changed = state.job != self.state.job
        self.state = state
        if changed:
            if self._keeping is not None:
                self._keeping.stop()
            self._keeping = self.set_timer(KEEP, self.keep)

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
        """Keep the job in the draft, or drop the draft where nothing is unsaved."""
        self._keeping = None
        if not self.state.unsaved:
            self.drafts.drop()
            return
        new = self.drafts.path is None
        try:
            path = self.drafts.keep(self.state)
        except PaletteError as problem:
            self.notify(f"Changes are not kept: {problem}", severity="error", markup=False, timeout=10)
            return
        if new:
            self.notify(f"Changes are kept in {path} until you save with Ctrl+S.", markup=False)

    def _change_job(self, state: State) -> None:
        """Show another job in place of the present one."""
        if self._keeping is not None:
            self._keeping.stop()
            self._keeping = None
        self.drafts.drop()
        if state.palette is not self.palette:
            self.palette = state.palette
            self.desk.use(state.palette)
        self.state = state
        if self.main not in self.screen_stack:
            self.push_screen(self.main)
        else:
            self.main.apply(state)

    async def action_quit(self) -> None:
        """Leave, after asking about unsaved changes."""
        self._leave()

    @work
    async def _leave(self) -> None:
        if await self._may_go():
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

    @work
    async def action_new_job(self) -> None:
        """Begin another job."""
        if await self._may_go():
            start = await self.push_screen_wait(StartScreen(self.drafts.left(), self.depth))
            await self._started(start)

    def _begin(self, start: Start | None) -> None:
        self._start(start)

    @work
    async def _start(self, start: Start | None) -> None:
        await self._started(start)

    async def _started(self, start: Start | None) -> None:
        """Begin with what was chosen; where that fails, with a new costume."""
        state: State | None = None
        if start is not None and start.kind == "open":
            path = await self._ask_path("Open a job", "Name of the file; → completes it.", "")
            state = None if path is None else self._read(path)
        elif start is not None and start.path is not None:
            state = self._read(start.path, named=False)
        elif start is not None and start.left is not None:
            state = self._take_up(start.left)
        elif start is not None:
            state = await self._new()
        if state is not None:
            self._change_job(state)
        elif self.main not in self.screen_stack:
            self._change_job(new_state(self.palette))

    async def _new(self) -> State:
        from planner.app.choose.screen import SwatchScreen
        from planner.app.photo.keep import own_file

        first = next(iter(self.palette.swatches), "#808080")
        screen = SwatchScreen(self.palette, first, keep_in=own_file(self.palettes))
        swatch = await self.push_screen_wait(screen)
        self._know(screen.palette)
        return new_state(self.palette, swatch)

    def _know(self, palette: Palette) -> None:
        """Go on with a palette that a screen may have kept something in."""
        if palette is not self.palette:
            self.palette = palette
            self.desk.use(palette)

    def _take_up(self, left: Left) -> State | None:
        try:
            state = taken_up(left, self.palette)
            self.drafts.keep(state)
        except PaletteError as problem:
            self.notify(str(problem), severity="error", markup=False, timeout=10)
            return None
        discard(left.path)
        return state

    @work
    async def action_open_job(self) -> None:
        """Open a job file."""
        if not await self._may_go():
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
            palette = load(*sources(job=path, palettes=self.palettes)) if named else self.palette
            return state_of(file.job, palette, file if named else None, path)
        except PaletteError as problem:
            self.notify(str(problem), severity="error", markup=False, timeout=10)
            return None

    async def _ask_path(self, title: str, text: str, value: str) -> Path | None:
        found = await self.push_screen_wait(TextScreen(title, text, value, path=True))
        return None if found is None else _path(found)

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
            file = new_job_file(path if path.suffix else path.with_suffix(".toml"), state.job)
        try:
            saved = file.with_job(state.job).save()
        except PaletteError as problem:
            text = f"{problem}. Your changes stay in the draft; save under another name with Ctrl+P."
            self.notify(text, severity="error", markup=False, timeout=12)
            return False
        self.state = state.saved(saved)
        self.drafts.drop()
        self.main.show_bar()
        self.notify(f"Saved in {saved.path}.", markup=False)
        return True

    @work
    async def action_rename(self) -> None:
        """Give the costume a title."""
        title = await self.push_screen_wait(
            TextScreen("Title", "What the costume is called.", self.state.job.title)
        )
        if title:
            self.main.apply(self.state.with_job(title=title[:120]))

    # Other screens.

    def action_help(self) -> None:
        """Show the help screen."""
        from planner.app.help import HelpScreen

        self.push_screen(HelpScreen())

    @work
    async def action_pairings(self) -> None:
        """Show every stone with every coating, and take the one opened."""
        from planner.app.pairings.screen import PairingsScreen

        try:
            question = self.state.question()
        except ValueError as problem:
            self.notify(str(problem), severity="warning", markup=False)
            return
        found = await self.push_screen_wait(PairingsScreen(self.palette, question))
        if found is not None:
            coating = found.coating.id if found.coating else NONE
            self.main.apply(self.state.with_line(stone=found.stone.id, coating=coating, size=found.size))

    def action_plot(self) -> None:
        """Show how the hue travels, and the spectra."""
        from planner.app.plots.screen import PlotScreen

        if self.main.look is not None:
            self.push_screen(PlotScreen(self.main.look.reading))

    @work
    async def action_venues(self) -> None:
        """Show the pairing in several venues; venues made there are known from then on."""
        from planner.app.venues.opened import opened, taken

        try:
            screen = opened(self.state, self.palettes)
        except ValueError as problem:
            self.notify(str(problem), severity="warning", markup=False)
            return
        found = await self.push_screen_wait(screen)
        self._know(screen.palette)
        self.main.apply(taken(self.state, self.palette, found))

    @work
    async def action_by_eye(self) -> None:
        """Choose the swatch by eye, in words, by digits or from the palette."""
        from planner.app.choose.screen import SwatchScreen
        from planner.app.photo.keep import own_file

        screen = SwatchScreen(self.palette, self.state.job.swatch, keep_in=own_file(self.palettes))
        found = await self.push_screen_wait(screen)
        self._know(screen.palette)
        if found is not None:
            self.main.apply(replace(self.state, palette=self.palette).with_job(swatch=found))


def _path(text: str) -> Path:
    return Path(text).expanduser()
