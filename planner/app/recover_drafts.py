"""Unsaved work left behind: all of it, to take up or to throw away."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets.option_list import Option

from planner.app.drafts import Left
from planner.app.parts.plain import Button, OptionList, Static
from planner.app.parts.steady import SteadySheet


def left_text(left: Left) -> Content:
    """Return when something was left, its title, how many pairings it has and where it belongs."""
    count = len(left.job.lines)
    of = left.of.name if left.of else "not saved under a name"
    return Content.assemble(
        (f"{left.when:%d %b %Y, %H:%M}  ", "$foreground 80%"), (left.job.title, "bold"),
        (f"  {count} pairing{'' if count == 1 else 's'}, {of}", "$foreground 65%"),
    )  # fmt: skip


class RecoverDraftsScreen(SteadySheet[Left | None]):
    """Dismisses with what is to be taken up.

    Parameters
    ----------
    left
        All that was left.
    throw
        Called with what is thrown away, once that was asked.

    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "leave", "Close", show=False),
        Binding("x", "throw", "Throw away", show=False),
        Binding("y", "sure", show=False),
    ]

    def __init__(self, left: Sequence[Left], throw: Callable[[Left], object]) -> None:
        super().__init__()
        self._left, self._throw = list(left), throw
        self._doubted: Left | None = None

    def compose(self) -> ComposeResult:
        """Yield the list, the question and the buttons."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = "Left behind"
            sheet.border_subtitle = "Esc closes"
            yield OptionList(id="left", compact=True)
            yield Static(id="left-says")
            with Horizontal(classes="buttons"):
                yield Button("Enter  Take up", id="take", compact=True)
                yield Button("x  Throw away …", id="throw", compact=True)
                yield Button("y  Yes, throw it away", id="sure", compact=True)

    def on_mount(self) -> None:
        """Show what was left."""
        self._fill()

    def _fill(self) -> None:
        found = self.query_one(OptionList)
        at = found.highlighted or 0
        if self._left:
            found.set_options([Option(left_text(one)) for one in self._left])
            found.highlighted = min(at, len(self._left) - 1)
        else:
            found.set_options([Option("No unsaved work is left.", disabled=True)])
        found.focus()
        self._ask(None)

    def _ask(self, left: Left | None) -> None:
        """Ask whether something is to be thrown away; None asks nothing."""
        self._doubted = left
        said = "Work that was neither saved nor thrown away. Nothing here is lost until you say so."
        if left is not None:
            said = f'Throw "{left.job.title}" away? It cannot be taken up again. y is yes, Esc is no.'
        style = "$foreground 65%" if left is None else "bold $warning"
        self.query_one("#left-says", Static).update(Content.styled(said, style))
        self.query_one("#sure").display = left is not None
        for name in ("#take", "#throw"):
            self.query_one(name).display = left is None and bool(self._left)

    def _here(self) -> Left | None:
        at = self.query_one(OptionList).highlighted
        return self._left[at] if at is not None and at < len(self._left) else None

    @on(OptionList.OptionHighlighted)
    def _moved(self) -> None:
        if self._doubted is not None and self._here() is not self._doubted:
            self._ask(None)

    @on(OptionList.OptionSelected)
    @on(Button.Pressed, "#take")
    def _take(self) -> None:
        if self._doubted is not None:
            self._ask(None)
        elif (left := self._here()) is not None:
            self.dismiss(left)

    @on(Button.Pressed, "#throw")
    def action_throw(self) -> None:
        """Ask whether it is to be thrown away."""
        self._ask(self._here())

    @on(Button.Pressed, "#sure")
    def action_sure(self) -> None:
        """Throw it away, once that was asked."""
        if self._doubted is not None:
            self._throw(self._doubted)
            self._left.remove(self._doubted)
            self._fill()

    def action_leave(self) -> None:
        """Take no for an answer, or close."""
        if self._doubted is not None:
            self._ask(None)
        else:
            self.dismiss(None)
