"""The start screen: a new costume, one to go on with, or one to look at first."""

from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar, Final, Literal

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets.option_list import Option

from planner.app.depth import BANNERS, Depth
from planner.app.drafts import Left
from planner.app.parts.footer import Footer
from planner.app.parts.plain import OptionList, Static
from planner.app.parts.steady import SteadyScreen
from planner.data import demo

_WHAT = (
    "Says what a stone and its coating will read as on your cloth, in your light, from your "
    "seats, before you order it; how far that is from your swatch, and what to order instead."
)
_NIGHT = (
    "Before you judge a colour here: switch off the screen's night mode or warm light. It turns "
    "every patch and picture yellow, and no program can see that it is on."
)


@dataclass(frozen=True)
class Start:
    """What to begin with."""

    kind: Literal["new", "stones", "drawer", "open", "draft", "drafts", "file"]
    path: Path | None = None
    left: Left | None = None


class StartScreen(SteadyScreen[Start | None]):
    """Dismisses with what to begin with."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n,ctrl+n", "begin('new')", "New costume", key_display="n"),
        Binding("S", "begin('stones')", "Your stones"),
        Binding("D", "begin('drawer')", "Your drawer"),
        Binding("o,ctrl+o", "begin('open')", "Open a file", key_display="o"),
    ]

    def __init__(self, left: tuple[Left, ...], depth: Depth) -> None:
        super().__init__()
        self._depth = depth
        self._starts = [
            *(Start("draft", left=one) for one in left[:1]),
            *([Start("drafts")] if left else []),
            Start("new"),
            Start("stones"),
            Start("drawer"),
            Start("open"),
            *(Start("file", path) for path in sorted((demo() / "jobs").glob("*.toml"))),
        ]

    def compose(self) -> ComposeResult:
        """Yield what the planner is for, and the list."""
        if BANNERS[self._depth]:
            yield Static(BANNERS[self._depth], id="banner")
        with VerticalScroll(id="start", can_focus=False):
            yield Static(Content.styled("Stones and coatings, before you buy them", "bold $primary"))
            yield Static(Content(_WHAT), classes="gap")
            yield OptionList(*(Option(_told(one)) for one in self._starts), id="starts", compact=True)
            yield Static(Content.styled("↑ ↓ choose one, Enter begins with it.", "$foreground 65%"))
            yield Static(Content.assemble(("Night mode. ", "bold $warning"), _NIGHT), classes="gap")
            yield Static(
                Content.styled(
                    "The stones and jobs that come with the planner are invented. To be shown round on them, "
                    "leave with q and type planner tour.",
                    "$foreground 65%",
                )
            )
        yield Footer()

    def on_mount(self) -> None:
        """Highlight the first."""
        starts = self.query_one(OptionList)
        starts.highlighted = 0
        starts.focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Begin with it."""
        self.dismiss(self._starts[event.option_index])

    def action_begin(self, kind: Literal["new", "stones", "drawer", "open"]) -> None:
        """Begin by a key."""
        self.dismiss(Start(kind))


_PLAIN: Final = {
    "new": ("New costume", "begin with your swatch"),
    "stones": ("Your stones", "add what you have, or look it up"),
    "drawer": ("Your drawer", "what you own, lot by lot"),
    "open": ("Open a file", "a job you saved"),
}


def _told(start: Start) -> Content:
    if start.kind == "drafts":
        return Content.assemble(
            ("Left behind  ", "bold $warning"), ("all unsaved work; take up, throw away", "$foreground 65%")
        )
    if start.left is not None:
        of = start.left.of.name if start.left.of else "not saved under a name"
        when = f"{start.left.when:%d %b, %H:%M}"
        return Content.assemble(
            ("Go on with  ", "bold $warning"), start.left.job.title,
            (f"  left unsaved {when}, {of}", "$foreground 65%"),
        )  # fmt: skip
    if start.kind in _PLAIN:
        what, words = _PLAIN[start.kind]
        return Content.assemble((f"{what}  ", "bold"), (words, "$foreground 65%"))
    path = start.path or Path()
    words = path.stem.replace("-", " ")
    return Content.assemble(("Look at a demo  ", "bold"), words)
