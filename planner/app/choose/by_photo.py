"""Choosing by a photograph: its path, then the picture with the frames, then the light it was taken in."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input
from textual.widgets.option_list import Option

from planner.app.choose.offer import Offer, Offered
from planner.app.depth import Depth
from planner.app.newest_worker import NewestWorker
from planner.app.parts.find import FindLine
from planner.app.parts.plain import Button, OptionList, Static
from planner.app.photo.files import is_file, path_of, within_reach
from planner.app.photo.frames import Frames
from planner.app.photo.reading import Opened, decides, neighbours, opened, read_cloth, sentence
from planner.app.photo.view import PhotoView
from planner.colour.names import capped, name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.refusal import Refusal
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Picture
from planner.swatch.resolve import TYPED_UNCERTAINTY
from planner.swatch.taken import Taken

WAY: Final = "photo"

_LIGHTS: Final[dict[Light, str]] = {"unknown": "not said", "daylight": "daylight", "lamps": "lamps"}
_HELP: Final = "Photograph the cloth beside white paper, both flat, by a window, and name the file here."
_KEYS: Final = "Tab: C cloth, W paper. Arrows or drag move; Shift+arrows or corner ┛ resize."
_WAIT: Final = "Looking at the photograph …"


@dataclass(frozen=True, eq=False)
class _Wish:
    """What is to be worked out: open a file, or read a photograph."""

    serial: int
    light: Light
    path: Path | None = None
    picture: Picture | None = None
    frames: Frames | None = None


class _Opened(Message):
    def __init__(self, serial: int, found: Opened) -> None:
        super().__init__()
        self.serial, self.found = serial, found


class _Read(Message):
    def __init__(self, serial: int, swatch: Taken | None, complaint: str) -> None:
        super().__init__()
        self.serial, self.swatch, self.complaint = serial, swatch, complaint


class ByPhoto(Vertical):
    """A line for the path with the files below it, in whose place the photograph comes."""

    DEFAULT_CSS = """
    ByPhoto #photo-files { height: 1fr; background: transparent; padding: 0; }
    ByPhoto #photo-view, ByPhoto #photo-light { display: none; }
    ByPhoto #photo-view { height: 1fr; }
    ByPhoto #photo-light { width: 100%; }
    ByPhoto #photo-keys { height: auto; color: $foreground 70%; }
    ByPhoto.-open #photo-files { display: none; }
    ByPhoto.-open #photo-view, ByPhoto.-open #photo-light { display: block; }
    """

    def __init__(self, depth: Depth, *, keeps: bool, **rest: Any) -> None:
        """Take what the console can show, and whether what is found can be kept as a swatch."""
        super().__init__(**rest)
        self._keeps = keeps
        self._depth: Depth = depth
        self._serial = 0
        self._light: Light = "unknown"
        self._paths: list[str] = []
        self._opened: Opened | None = None
        self.swatch: Taken | None = None
        """What the photograph shows now."""
        self._worker: NewestWorker[_Wish] = NewestWorker(self._work)

    def compose(self) -> ComposeResult:
        """Lay out the line, the files, the photograph and the light."""
        yield FindLine(
            "#photo-files", placeholder="photograph: type or choose", compact=True, id="photo-path"
        )
        files = OptionList(id="photo-files", compact=True)
        files.can_focus = False
        yield files
        yield PhotoView[Frames](self._depth)
        yield Button("", id="photo-light", compact=True)
        yield Static(_HELP, id="photo-keys")

    def on_mount(self) -> None:
        """List the present folder."""
        self._fill("")
        self._offer_nothing("Choose a photograph.")

    def on_unmount(self) -> None:
        """Work out nothing any more."""
        self._worker.close()

    @property
    def idle(self) -> bool:
        """Whether nothing is being worked out."""
        return self._worker.idle

    # The file.

    @property
    def file(self) -> Path | None:
        """The photograph that is open."""
        return None if self._opened is None else self._opened.picture.path

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if self._opened is not None and event.value == str(self._opened.picture.path):
            return
        self._close()
        self._fill(event.value)

    def _fill(self, typed: str) -> None:
        self._paths = within_reach(typed)
        files = self.query_one("#photo-files", OptionList)
        files.set_options([Option(Content(path)) for path in self._paths])
        files.highlighted = 0 if self._paths else None

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        at = self.query_one("#photo-files", OptionList).highlighted
        exact = is_file(event.value)
        self._go(event.value if exact or at is None else self._paths[at])

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._go(self._paths[event.option_index])

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()

    def _go(self, path: str) -> None:
        """Enter a folder, or open a file."""
        line = self.query_one(FindLine)
        if not path:
            return
        with line.prevent(Input.Changed):
            line.value = path
            line.cursor_position = len(path)
        if path.endswith("/"):
            self._close()
            self._fill(path)
            return
        self._serial += 1
        self._offer_nothing(_WAIT)
        self._worker.ask(_Wish(self._serial, self._light, path=path_of(path)))

    def _close(self) -> None:
        """Go back to the files."""
        self._serial += 1
        self._opened = None
        self.remove_class("-open")
        self.query_one("#photo-keys", Static).update(_HELP)
        self._offer_nothing("Choose a photograph.")

    def _offer_nothing(self, why: str) -> None:
        self.swatch = None
        self.post_message(Offered(WAY, None, why))

    # The work, in a thread of its own.

    def _work(self, wish: _Wish) -> None:
        try:
            picture, frames = wish.picture, wish.frames
            if wish.path is not None:
                found = opened(wish.path)
                self.post_message(_Opened(wish.serial, found))
                if found.complaint:
                    self.post_message(_Read(wish.serial, None, found.complaint))
                    return
                picture, frames = found.picture, found.frames
            if picture is not None and frames is not None:
                self.post_message(_Read(wish.serial, read_cloth(picture, frames, wish.light), ""))
        except Refusal as problem:
            self.post_message(_Read(wish.serial, None, _reason(str(problem))))

    @on(_Opened)
    def _show(self, event: _Opened) -> None:
        event.stop()
        if event.serial != self._serial:
            return
        self._opened = event.found
        self.add_class("-open")
        self.query_one("#photo-keys", Static).update(_KEYS)
        self._name_light()
        picture = event.found.picture
        view = self.query_one(PhotoView)
        view.show(event.found.small, picture.width, picture.height, event.found.frames)
        view.focus()

    @on(_Read)
    def _tell(self, event: _Read) -> None:
        event.stop()
        if event.serial != self._serial:
            return
        self.swatch = event.swatch
        offer = None if event.swatch is None else offer_of_photo(event.swatch, keeps=self._keeps)
        self.post_message(Offered(WAY, offer, event.complaint))

    # The frames and the light.

    @on(PhotoView.Framed)
    def _framed(self, event: PhotoView.Framed) -> None:
        event.stop()
        self._read_again()

    @on(Button.Pressed)
    def _next_light(self, event: Button.Pressed) -> None:
        event.stop()
        self.action_light()

    def on_key(self, event: Any) -> None:
        """Let L change the light while the photograph has the keys."""
        if event.key == "l" and self.query_one(PhotoView).has_focus:
            event.stop()
            self.action_light()

    def action_light(self) -> None:
        """Say the next kind of light."""
        lights = list(_LIGHTS)
        self._light = lights[(lights.index(self._light) + 1) % len(lights)]
        self._name_light()
        self._read_again()

    def _name_light(self) -> None:
        self.query_one("#photo-light", Button).label = f"l  Taken in: {_LIGHTS[self._light]}"

    def _read_again(self) -> None:
        frames = self.query_one(PhotoView).frames
        if self._opened is None or frames is None:
            return
        self._serial += 1
        # What is shown belongs to other frames, so it cannot be taken meanwhile.
        self._offer_nothing(_WAIT)
        self._worker.ask(_Wish(self._serial, self._light, picture=self._opened.picture, frames=frames))


def _reason(text: str) -> str:
    """Return a refusal as a sentence; what this screen cannot be told, the command line can."""
    if "fluorescent" in text:
        text = f"{text.partition(';')[0]}; move the frames, or if it is neon use planner swatch photo"
    return sentence(text)


def offer_of_photo(swatch: Taken, *, keeps: bool) -> Offer:
    """Return what the swatch screen shows and takes; `keeps` is whether it can be kept as a swatch."""
    lab = capped(swatch.colour.lab)[0]
    rgb, shown = lab_to_srgb(swatch.colour.lab)
    around = neighbours(swatch)
    name, digits = name_of(lab), to_hex(rgb)
    others = dict.fromkeys(name_of(capped(one)[0]) for one in around.reshape(-1, 3))
    others.pop(name, None)
    said = [
        *([f"It could equally be {_either(list(others))}."] if others else []),
        decides(swatch),
        *swatch.notes,
        *([] if keeps else [f"Taken as a plain colour, it counts as known to ±{TYPED_UNCERTAINTY:g}."]),
        *([] if shown else ["A screen cannot show this colour: go by its name and figures."]),
    ]
    lightness, a, b = (float(part) for part in swatch.colour.lab)
    return Offer(
        digits, name.capitalize(), digits, digits, (lightness, a, b),
        f"known to ±{swatch.colour.uncertainty:.1f}, nine times in ten within {swatch.half_width:.1f}",
        tuple(tuple(to_hex(one) for one in row) for row in lab_to_srgb(around)[0]), tuple(said),
    )  # fmt: skip


def _either(names: list[str]) -> str:
    """Return names as "one, another or a third"."""
    return " or ".join([", ".join(names[:-1]), names[-1]] if names[1:] else names)
