"""The screen of a photographed sample card, or of what came of an order."""

from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar, Final

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Input
from textual.widgets.option_list import Option

from planner.app.depth import BANNERS, Depth, depth_of
from planner.app.keep_screen import KeepScreen
from planner.app.newest_worker import NewestWorker
from planner.app.parts.find import FindLine
from planner.app.parts.footer import Footer
from planner.app.parts.plain import Button, OptionList, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.photo.files import is_file, path_of, within_reach
from planner.app.photo.reading import sentence
from planner.app.photo.view import PhotoView
from planner.app.samples.content import said
from planner.app.samples.entries import Keeper
from planner.app.samples.marks import WHITE, Marks
from planner.app.samples.worker import Answer, Came, Opened, Pairing, came_of, card_of, opened
from planner.catalogue.palette import Palette
from planner.refusal import Refusal
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Picture

_LIGHTS: Final[dict[Light, str]] = {"unknown": "not said", "daylight": "daylight", "lamps": "lamps"}
_HELP: Final = (
    "Photograph several coated stones of each kind on a card, white paper beside them, under a dull sky: "
    "from half a metre, zoomed in, the card tilted a little. Name the file above. Stones mirror the room and "
    "the telephone, and small ones have few pixels: it is a rough measure."
)
_WAIT: Final = "Looking …"


@dataclass(frozen=True, eq=False)
class _Wish:
    """What is to be worked out: open a file, or read the frames."""

    serial: int
    light: Light
    came: bool
    path: Path | None = None
    picture: Picture | None = None
    marks: Marks | None = None


class _Shown(Message):
    def __init__(self, serial: int, found: Opened) -> None:
        super().__init__()
        self.serial, self.found = serial, found


class _Told(Message):
    def __init__(self, serial: int, answer: Answer | None, complaint: str) -> None:
        super().__init__()
        self.serial, self.answer, self.complaint = serial, answer, complaint


class SamplesScreen(SteadyScreen[None]):
    """Stones on a photograph are marked and named; what is kept is in `palette` afterwards."""

    DEFAULT_CSS = """
    SamplesScreen {
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #does { height: 1; padding: 0 1; }
        #does Button { margin-right: 2; }
        #card-path { margin: 0 1; }
        #card-body { height: 1fr; padding: 0 1; }
        #card-files { width: 1fr; height: 1fr; background: transparent; padding: 0; }
        #photo-view { width: 1fr; height: 1fr; display: none; }
        #card-rail { width: 30; height: 1fr; padding-left: 1; display: none; }
        #card-stones { height: 1fr; background: transparent; padding: 0; }
        #card-frame { height: auto; }
        #card-says { height: 9; padding: 0 1; border-top: solid $primary; }
        &.-open #card-files { display: none; }
        &.-open #photo-view, &.-open.-card #card-rail { display: block; }
        &.-tall #card-says { height: 14; }
    }
    """
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012 - as Textual has it

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "app.focus_next", show=False),
        ("c", "change", "Card or lot"),
        ("l", "light", "Light"),
        ("a", "add", "Add"),
        ("x", "remove", "Remove"),
        ("enter", "name", "Name it"),
        ("k", "keep", "Keep"),
        ("escape", "leave", "Back"),
    ]

    def __init__(self, palette: Palette, ordered: Pairing, palettes: Path | None = None) -> None:
        """Take the palette, the pairing that may have come, and where own files are (as ``--palettes``)."""
        super().__init__()
        self.palette, self._ordered, self._palettes = palette, ordered, palettes
        self._serial = 0
        self._came = False
        self._light: Light = "unknown"
        self._paths: list[str] = []
        self._stones: list[str] = []
        self._opened: Opened | None = None
        self.answer: Answer | None = None
        """What the frames say now."""
        self._worker: NewestWorker[_Wish] = NewestWorker(self._work)

    def compose(self) -> ComposeResult:
        """Lay out the file, the photograph with the stones beside it, and what they say."""
        yield Static(BANNERS[self._depth], id="caveat")
        with Horizontal(id="does"):
            yield Button("", id="change", compact=True)
            yield Button("", id="light", compact=True)
        yield FindLine("#card-files", placeholder="photograph: type or choose", compact=True, id="card-path")
        with Horizontal(id="card-body"):
            files = OptionList(id="card-files", compact=True)
            files.can_focus = False
            yield files
            yield PhotoView[Marks](self._depth)
            with Vertical(id="card-rail"):
                yield Static(id="card-frame")
                yield FindLine("#card-stones", placeholder="which stone", compact=True, id="card-stone")
                stones = OptionList(id="card-stones", compact=True)
                stones.can_focus = False
                yield stones
        with VerticalScroll(id="card-says"):
            yield Static(Content(_HELP), id="card-said")
        yield Footer()

    def on_mount(self) -> None:
        """List the present folder and the stones."""
        self.add_class("-card")
        self._name_buttons()
        self._fill("")
        self._find("")
        self.query_one("#card-path").focus()

    def on_unmount(self) -> None:
        """Work out nothing any more."""
        self._worker.close()

    @property
    def _depth(self) -> Depth:
        return depth_of(self.app.console.color_system, no_color=self.app.no_color)

    @property
    def idle(self) -> bool:
        """Whether nothing is being worked out."""
        return self._worker.idle

    @property
    def _view(self) -> PhotoView[Marks]:
        return self.query_one(PhotoView)

    # The file.

    @on(Input.Changed, "#card-path")
    def _typed(self, event: Input.Changed) -> None:
        if self._opened is None or event.value != str(self._opened.picture.path):
            self._close()
            self._fill(event.value)

    def _fill(self, typed: str) -> None:
        self._paths = within_reach(typed)
        files = self.query_one("#card-files", OptionList)
        files.set_options([Option(Content(path)) for path in self._paths])
        files.highlighted = 0 if self._paths else None

    @on(Input.Submitted, "#card-path")
    def _entered(self, event: Input.Submitted) -> None:
        at = self.query_one("#card-files", OptionList).highlighted
        exact = is_file(event.value)
        self._go(event.value if exact or at is None else self._paths[at])

    @on(OptionList.OptionSelected, "#card-files")
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        self._go(self._paths[event.option_index])

    def _go(self, path: str) -> None:
        """Enter a folder, or open a file."""
        if not path:
            return
        line = self.query_one("#card-path", FindLine)
        with line.prevent(Input.Changed):
            line.value = path
            line.cursor_position = len(path)
        self._close()
        if path.endswith("/"):
            self._fill(path)
            return
        self._ask(path=path_of(path))

    def _close(self) -> None:
        self._serial += 1
        self._opened, self.answer = None, None
        self.remove_class("-open")
        self._say(Content(_HELP))

    # The work, in a thread of its own.

    def _ask(self, path: Path | None = None) -> None:
        self._serial += 1
        self.answer = None
        self._say(Content(_WAIT))
        picture = None if self._opened is None else self._opened.picture
        self._worker.ask(
            _Wish(self._serial, self._light, self._came, path, picture, None if path else self._view.frames)
        )

    def _work(self, wish: _Wish) -> None:
        try:
            picture, marks = wish.picture, wish.marks
            if wish.path is not None:
                found = opened(wish.path)
                self.post_message(_Shown(wish.serial, found))
                picture, marks = found.picture, found.marks
                if found.complaint or not wish.came:
                    why = found.complaint or (
                        f"{len(marks.stones)} stones are made out. Name each: choose it in the list, Enter."
                    )
                    self.post_message(_Told(wish.serial, None, why))
                    return
            if picture is None or marks is None:
                return
            answer: Answer
            if wish.came:
                answer = came_of(picture, marks, wish.light, self._ordered)
            else:
                answer = card_of(picture, marks, wish.light, self.palette, self._ordered.size)
            self.post_message(_Told(wish.serial, answer, ""))
        except Refusal as problem:
            self.post_message(_Told(wish.serial, None, sentence(str(problem))))

    @on(_Shown)
    def _show(self, event: _Shown) -> None:
        if event.serial != self._serial:
            return
        self._opened = event.found
        self.add_class("-open")
        picture = event.found.picture
        self._view.show(event.found.small, picture.width, picture.height, event.found.marks)
        self._name_frame()
        self._view.focus()

    @on(_Told)
    def _tell(self, event: _Told) -> None:
        if event.serial != self._serial:
            return
        self.answer = event.answer
        if event.answer is None:
            self._say(Content(event.complaint))
        else:
            self._say(said(event.answer, self.palette, self._depth))

    def _say(self, text: Content) -> None:
        self.query_one("#card-said", Static).update(text)

    # The frames and what they are.

    @on(PhotoView.Framed)
    def _framed(self) -> None:
        self._ask()

    @on(PhotoView.Chosen)
    def _name_frame(self) -> None:
        marks = self._view.frames
        if marks is None:
            return
        which = self._view.which
        is_ = marks.is_called(which)
        name = "white paper" if which == WHITE else self.palette.stones[is_].name if is_ else "not said yet"
        self.query_one("#card-frame", Static).update(Content.assemble((f"{which}: {name}", "bold")))

    def action_name(self) -> None:
        """Go to the list of stones."""
        if self._opened is not None and not self._came and self._view.which != WHITE:
            self.query_one("#card-stone").focus()

    @on(Input.Changed, "#card-stone")
    def _find_stone(self, event: Input.Changed) -> None:
        self._find(event.value)

    def _find(self, typed: str) -> None:
        words = typed.lower().split()
        self._stones = [
            one.id for one in self.palette.stones.values() if all(word in one.name.lower() for word in words)
        ]
        stones = self.query_one("#card-stones", OptionList)
        stones.set_options([Option(Content(self.palette.stones[one].name)) for one in self._stones])
        stones.highlighted = 0 if self._stones else None

    @on(Input.Submitted, "#card-stone")
    def _named(self) -> None:
        at = self.query_one("#card-stones", OptionList).highlighted
        if at is not None:
            self._take(self._stones[at])

    @on(OptionList.OptionSelected, "#card-stones")
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self._take(self._stones[event.option_index])

    def _take(self, stone: str) -> None:
        """Say which stone is in the present frame, and go on to the next that is not said."""
        view = self._view
        if view.frames is None or view.which == WHITE:
            return
        self._change(view.frames.called(view.which, stone))
        if view.frames is not None:
            view.choose(view.frames.next_unsaid(view.which))
        view.focus()

    def action_add(self) -> None:
        """Put one more frame beside the present one."""
        if self._opened is None or self._view.frames is None:
            return
        picture = self._opened.picture
        marks, which = self._view.frames.another(self._view.which, picture.width, picture.height)
        self._change(marks)
        self._view.choose(which)

    def action_remove(self) -> None:
        """Take the present stone's frame away."""
        marks, which = self._view.frames, self._view.which
        if marks is None or which == WHITE:
            return
        self._change(marks.without(which))

    def _change(self, marks: Marks) -> None:
        if self._opened is not None:
            picture = self._opened.picture
            self._view.show(self._opened.small, picture.width, picture.height, marks)
            self._name_frame()
            self._ask()

    # Card or parcel, and the light.

    @on(Button.Pressed, "#change")
    def action_change(self) -> None:
        """Change between a sample card and what came of an order."""
        self._came = not self._came
        self.set_class(not self._came, "-card")
        self._name_buttons()
        if self._opened is not None:
            self._view.focus()
            self._ask()

    @on(Button.Pressed, "#light")
    def action_light(self) -> None:
        """Say the next kind of light."""
        lights = list(_LIGHTS)
        self._light = lights[(lights.index(self._light) + 1) % len(lights)]
        self._name_buttons()
        if self._opened is not None:
            self._ask()

    def _name_buttons(self) -> None:
        coating = self._ordered.coating
        film = "uncoated" if coating is None else coating.name
        parcel = f"what came: {self._ordered.stone.name}, {film}, {self._ordered.size}"
        what = parcel if self._came else f"a sample card, {self._ordered.size}"
        labels = {"#change": f"c  On it: {what}", "#light": f"l  Light: {_LIGHTS[self._light]}"}
        for name, label in labels.items():
            button = self.query_one(name, Button)
            button.label = label
            button.refresh(layout=True)

    # JobApp.

    @work
    async def action_keep(self) -> None:
        """Ask for a name, and keep what was found."""
        answer = self.answer
        if answer is None:
            return
        keeper = Keeper(answer, self._ordered, self.palette, self._palettes)
        kept = await self.app.push_screen_wait(KeepScreen(
            "Keep this?", keeper.question, keeper.first_name, keeper.keep,
            instead=("log", "Only log it") if isinstance(answer, Came) else None,
        ))  # fmt: skip
        if isinstance(kept, str):
            self._log(keeper)
        elif kept is not None:
            self.palette = keeper.after(kept)
            self.notify(f"Kept: {' and '.join(one.name for one in kept)}.")

    def _log(self, keeper: Keeper) -> None:
        try:
            keeper.log()
        except Refusal as problem:
            self.notify(sentence(str(problem)), severity="error")
            return
        self.notify("Logged: readings of this kind tell it.")

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
