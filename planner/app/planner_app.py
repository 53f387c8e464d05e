"""The app: its screens, its keys, and the commands of its palette."""

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.command import SimpleCommand, SimpleProvider
from textual.message import Message
from textual.screen import Screen

from planner.app.answer_worker import AnswerWorker
from planner.app.depth import Depth, depth_of
from planner.app.drafts import Drafts
from planner.app.fields import FIELDS
from planner.app.main_screen import MainScreen
from planner.app.navigation import Navigation
from planner.app.parts.commands import Commands
from planner.app.parts.pixels import Way
from planner.app.places import PLACES
from planner.app.second_process import SameProcess, SecondProcess
from planner.app.state import State
from planner.app.themes import THEMES, WINGS
from planner.catalogue.palette import Palette

_COMMANDS = (
    ("New costume", "Begin another job", "new_job"),
    ("Open", "Open a job file", "open_job"),
    ("Save", "Save the job in its file", "save_job"),
    ("Save under another name", "Save the job in a new file", "save_as"),
    ("Undo", "Undo the last change", "screen.undo"),
    ("Redo", "Redo what was undone", "screen.redo"),
    ("Instead", "What to order instead", "screen.offers"),
    ("Warnings", "Every warning, and what to do about it", "screen.concerns"),
    ("Numbers", "The figures behind the words", "screen.figures"),
    ("Turn", "Let the cloth turn to and fro", "screen.tilt"),
    ("Pixels or blocks", "How pictures are drawn, where the terminal has pixels", "screen.pixels"),
    ("Near by", "The cloth near by, or from where it is seen", "screen.near"),
    ("Add a pairing", "A copy of this one", "screen.add_line"),
    ("Take the pairing off", "Off the costume", "screen.remove_line"),
    ("Help", "Keys, rows and words", "help"),
    ("Leave", "Nothing is lost", "quit"),
)


class PlannerApp(Navigation):
    """The planner on a screen.

    Parameters
    ----------
    palette
        Every entry at hand.
    state
        The job to begin with; without one the start screen asks.
    second
        Does the work of seconds; when not given a process of its own, and one more draws pictures.
    drafts
        Keeps what is not saved.
    depth
        What the console can show; found out when not given.
    palettes
        Read instead of the demo and the person's own folder when another job is opened.
    way
        How pictures are shown; found out by `planner.app.parts.pixels.way_of`.
    painter
        Draws pictures; a process of its own when not given.
    begun
        Whether the painter was begun with the first answer.

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
        second: SecondProcess | SameProcess | None = None,
        drafts: Drafts | None = None,
        depth: Depth | None = None,
        palettes: Path | None = None,
        way: Way = "blocks",
        painter: SecondProcess | None = None,
        begun: bool = False,
    ) -> None:
        super().__init__(palette, state, drafts, palettes)
        self.asks, self._begun = state is None, begun
        self.depth: Depth = depth or depth_of(self.console.color_system, no_color=self.no_color)
        self.painter = painter or (SecondProcess() if second is None else SameProcess())
        self.second = second or SecondProcess()
        self.answer_worker = AnswerWorker(palette, self._post, self.second, third=self.painter)
        if self.depth != "true":
            way = "blocks"
        self.main = MainScreen(self, self.answer_worker, self.depth, way, self.painter)
        for theme, _ in THEMES:
            self.register_theme(theme)
        self.theme = WINGS.name

    def on_load(self) -> None:
        """Begin the first answer while the screen is made: both take a while."""
        self.painter.begin()
        if not self.asks:
            self.answer_worker.begin(self.state, begun=self._begun)

    def on_mount(self) -> None:
        """Show the main screen, or ask what to begin with."""
        if not self.is_headless:
            self.heed_signals()
        if self.asks:
            self.begin()
        else:
            self.push_screen(self.main)
            self.tell_notes(self.state.file)
            if self.drafts.left():
                self.notify("Unsaved work was left behind: y shows it.", timeout=8)

    def on_unmount(self) -> None:
        """End all work."""
        self.answer_worker.close()
        self.painter.close()

    def _post(self, message: Message) -> None:
        self.main.post_message(message)

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Yield every command of the planner, and the choice of theme."""
        if not isinstance(screen, MainScreen):
            return
        for name, text, action in _COMMANDS:
            yield SystemCommand(name, text, self._runs(action))
        for place in PLACES:
            help_text = f"{place.help[:1].upper()}{place.help[1:]}"
            yield SystemCommand(place.label, help_text, self._runs(f"go('{place.name}')"))
        for field in FIELDS:
            yield SystemCommand(field.label, field.help, self._runs(f"screen.open('{field.key}')"))
        yield SystemCommand("Theme", "Dark, light or middle grey", self._runs("change_theme"))

    def _runs(self, action: str) -> Callable[[], object]:
        # The palette runs what it is given while its own screen is still on top.
        return lambda: self.call_later(self.run_action, action)

    # Other screens.

    def action_command_palette(self) -> None:
        """Show the list of commands, once."""
        if self.use_command_palette and not isinstance(self.screen, Commands):
            self.push_screen(Commands())

    def search_themes(self) -> None:
        """Offer our own themes alone: a tinted one would change how the patches look."""
        offered = [
            SimpleCommand(
                theme.name.replace("-", " ").capitalize(), partial(setattr, self, "theme", theme.name), said
            )
            for theme, said in THEMES
        ]
        providers = [SimpleProvider(self.screen, [*offered])]
        # As the library itself gives them, whatever it says of their type.
        self.push_screen(Commands(providers, placeholder="Dark, light or grey"))  # type: ignore[arg-type]

    def action_help(self) -> None:
        """Show the help screen."""
        from planner.app.sheets import HelpScreen

        self.push_screen(HelpScreen())
