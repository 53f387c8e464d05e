"""Choosing by words and by eye: a hue by name, then steps from there beside a large patch."""

from itertools import accumulate
from typing import Any, ClassVar, Final

import numpy as np
from numpy.typing import NDArray
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Grid, Vertical
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from planner.app.choose.offer import Offered, offer_of_hex
from planner.app.choose.steps import Step, neighbours, start, stepped
from planner.app.parts.plain import Button, Static
from planner.colour.names import FAMILIES, family_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.swatch.resolve import TYPED_UNCERTAINTY

WAY = "eye"

_NIGHT: Final = (
    "A screen in warm night mode shows colours wrongly: switch that off, and hold the cloth beside the patch "
    "in daylight."
)

_COLUMNS: Final = 3
_WIDTHS: Final = tuple(
    max(len(family) for family in FAMILIES[column::_COLUMNS]) + 3 for column in range(_COLUMNS)
)
"""Cells of each column of hues: a patch, a sign, the longest name and a gap."""

_STEPS: Final[tuple[tuple[str, Step, str], ...]] = (
    ("l", "lighter", "lighter"),
    ("d", "darker", "darker"),
    ("g", "greyer", "greyer"),
    ("v", "more vivid", "more vivid"),
    ("comma", "back", ""),
    ("full_stop", "on", ""),
)
"""Key, step and words of each."""

_SMALL: Final[tuple[tuple[str, Step], ...]] = (
    ("L", "lighter"), ("D", "darker"), ("G", "greyer"), ("V", "more vivid"),
    ("less_than_sign", "back"), ("semicolon", "back"), ("greater_than_sign", "on"), ("colon", "on"),
)  # fmt: skip
"""Keys of small steps: the same with shift, on English and on continental keyboards."""

_SIGNS: Final = {"comma": ",", "full_stop": "."}


class Hues(Widget, can_focus=True):
    """Families of hue by name; arrow keys and clicks choose one."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "move(-1)", "Hue", key_display="← → ↑ ↓"),
        Binding("right", "move(1)", show=False),
        Binding("up", f"move(-{_COLUMNS})", show=False),
        Binding("down", f"move({_COLUMNS})", show=False),
    ]

    family: reactive[str] = reactive(FAMILIES[0])

    class Chosen(Message):
        """Another family is chosen."""

        def __init__(self, family: str) -> None:
            super().__init__()
            self.family = family

    def render(self) -> Content:
        """Return the names in columns, each with a patch of the colour that it begins with."""
        rows = []
        for first in range(0, len(FAMILIES), _COLUMNS):
            cells = []
            for width, family in zip(_WIDTHS, FAMILIES[first : first + _COLUMNS], strict=False):
                rgb, _ = lab_to_srgb(start(family))
                here = family == self.family
                name = f"{'▸' if here else ' '}{family}".ljust(width - 2)
                style = "bold reverse" if here and self.has_focus else "bold" if here else ""
                cells.append(Content.assemble(("█", to_hex(rgb)), (name, style), " "))
            rows.append(Content("").join(cells))
        return Content("\n").join(rows)

    def action_move(self, by: int) -> None:
        """Choose the family so many further on."""
        self._choose((FAMILIES.index(self.family) + by) % len(FAMILIES))

    def on_click(self, event: events.Click) -> None:
        """Choose the family under the mouse."""
        column = sum(event.x >= edge for edge in list(accumulate(_WIDTHS))[:-1])
        number = event.y * _COLUMNS + column
        if number < len(FAMILIES):
            self._choose(number)

    def _choose(self, number: int) -> None:
        self.family = FAMILIES[number]
        self.post_message(self.Chosen(self.family))


class ByEye(Vertical):
    """Hues above, steps below; offers the colour reached."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(key, f"step('{step}', False)", words, show=False) for key, step, words in _STEPS),
        *(Binding(key, f"step('{step}', True)", show=False) for key, step in _SMALL),
    ]

    def __init__(self, lab: NDArray[np.float64], **rest: Any) -> None:
        """Take the colour to start from."""
        super().__init__(**rest)
        self._lab = lab

    def compose(self) -> ComposeResult:
        """Lay out hues, steps and the word of caution."""
        yield Static("First a hue …", classes="lead")
        yield Hues()
        yield Static("… then steps. Capitals: small steps.", classes="lead")
        with Grid(id="steps"):
            for key, step, words in _STEPS:
                name = f"step-{step.replace(' ', '-')}"
                yield Button(f"{_SIGNS.get(key, key)}  {words}", id=name, compact=True)
        yield Static(_NIGHT, id="night")

    def on_mount(self) -> None:
        """Show where it starts from."""
        self.query_one(Hues).family = family_of(self._lab)
        self._show("")

    @on(Hues.Chosen)
    def _hue(self, event: Hues.Chosen) -> None:
        event.stop()
        self._lab = start(event.family)
        self._show("")

    @on(Button.Pressed)
    def _pressed(self, event: Button.Pressed) -> None:
        event.stop()
        for _, step, _ in _STEPS:
            if event.button.id == f"step-{step.replace(' ', '-')}":
                self.action_step(step, fine=False)

    def action_step(self, step: Step, fine: bool) -> None:
        """Go one step, or say why not."""
        tried = stepped(self._lab, step, fine=fine)
        self._lab = tried.lab
        self._show(tried.complaint)

    def _show(self, complaint: str) -> None:
        back, on_ = neighbours(self._lab)
        self.query_one("#step-back", Button).label = f",  towards {back}"
        self.query_one("#step-on", Button).label = f".  towards {on_}"
        rgb, _ = lab_to_srgb(self._lab)
        remark = f"chosen by eye, known to ±{TYPED_UNCERTAINTY:g}"
        self.post_message(Offered(WAY, offer_of_hex(to_hex(rgb), remark), complaint))
