"""The list of warnings: each can be accepted for this pairing, with who and why, and that taken back."""

from collections.abc import Callable, Iterable
from typing import ClassVar, Final, TypeAlias

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets.option_list import Option

from planner.app.form.entry import Entry
from planner.app.form.screen import FormScreen
from planner.app.parts.plain import Button, OptionList, Static
from planner.app.parts.steady import SteadySheet
from planner.app.parts.tones import concern_text
from planner.assess import accepted
from planner.catalogue.errors import checked
from planner.job.model import Acceptance
from planner.reading.concern import CODES, Concern

Told: TypeAlias = tuple[tuple[Concern, Acceptance | None], ...]

_NONE: Final = "No warnings."
_HOW: Final = "An accepted warning stays listed, with name and reason."


def told(concerns: Iterable[Concern], accept: Iterable[Acceptance]) -> Told:
    """Return warnings with who accepts them; those that still stand first, each part gravest first."""
    return tuple(sorted(accepted(concerns, accept), key=lambda one: one[1] is not None))


class ConcernsScreen(SteadySheet[None]):
    """Every warning, what to do about it, and who accepted it.

    Parameters
    ----------
    concerns
        The warnings of the pairing.
    accept
        What is accepted of it so far.
    keep
        Called with all acceptances when one was added, changed or taken back.
    who
        Who probably accepts.

    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,e", "dismiss", "Close", show=False),
        Binding("a", "accept", "Accept", show=False),
        Binding("x", "take_back", "Take back", show=False),
    ]

    def __init__(
        self, concerns: Iterable[Concern], accept: Iterable[Acceptance],
        keep: Callable[[tuple[Acceptance, ...]], object], who: str = "",
    ) -> None:  # fmt: skip
        super().__init__()
        self._concerns, self._accept = tuple(concerns), tuple(accept)
        self._keep, self._who = keep, who

    def compose(self) -> ComposeResult:
        """Yield the list and the buttons."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = "Warnings"
            sheet.border_subtitle = "Esc closes"
            yield OptionList(id="concerns", compact=True)
            yield Static(Content.styled(_HOW, "$foreground 65%"), id="concerns-help")
            with Horizontal(classes="buttons"):
                yield Button("a  Accept …", id="accept", compact=True)
                yield Button("x  Take back", id="take-back", compact=True)

    def on_mount(self) -> None:
        """Show the warnings, and go to the first."""
        self._fill(0)
        self.query_one(OptionList).focus()

    def show(self, concerns: Iterable[Concern]) -> None:
        """Show what a fuller answer warns of."""
        new = tuple(concerns)
        if new != self._concerns:
            self._concerns = new
            # An answer may come while the screen is made, and some of it is there.
            self.soon(lambda: self._fill(self.query_one(OptionList).highlighted or 0))

    @property
    def _told(self) -> Told:
        return told(self._concerns, self._accept)

    @property
    def _in_vain(self) -> tuple[Acceptance, ...]:
        """What is accepted but not warned of."""
        codes = {one.code for one in self._concerns}
        return tuple(one for one in self._accept if one.code not in codes)

    @property
    def _codes(self) -> list[str]:
        """What each line of the list is about."""
        return [*(one.code for one, _ in self._told), *(one.code for one in self._in_vain)]

    def _fill(self, at: int) -> None:
        parts = [_line(one, by) for one, by in self._told] + [_vain(one) for one in self._in_vain]
        found = self.query_one(OptionList)
        if parts:
            found.set_options([Option(one) for one in parts])
            found.highlighted = min(at, len(parts) - 1)
        else:
            found.set_options([Option(_NONE, disabled=True)])
        for name in ("#accept", "#take-back", "#concerns-help"):
            self.query_one(name).display = bool(parts)
        self._buttons()

    @on(OptionList.OptionHighlighted)
    def _buttons(self) -> None:
        code = self._code()
        codes = {one.code for one in self._accept}
        warned = {one.code for one in self._concerns}
        self.query_one("#accept", Button).disabled = code not in warned
        self.query_one("#take-back", Button).disabled = code not in codes

    def _code(self) -> str | None:
        at, codes = self.query_one(OptionList).highlighted, self._codes
        return codes[at] if at is not None and at < len(codes) else None

    @on(OptionList.OptionSelected)
    @on(Button.Pressed, "#accept")
    def action_accept(self) -> None:
        """Ask who accepts the warning and why; one that is accepted already can be worded anew."""
        concern = next((one for one in self._concerns if one.code == self._code()), None)
        if concern is None:
            return
        was = next((one for one in self._accept if one.code == concern.code), None)

        def answered(texts: dict[str, str] | None) -> None:
            if texts is not None:
                others = [one for one in self._accept if one.code != concern.code]
                self._now((*others, Acceptance(code=concern.code, **texts)), concern.code)

        entries = (
            Entry("who", "Who", "The name of whoever accepts it.", was.who if was else self._who,
                  lambda text: _checked(text, "-")),
            Entry("why", "Why", "Why it is acceptable: what was tried, or who asked for it.",
                  was.why if was else "", lambda text: _checked("-", text)),
        )  # fmt: skip
        self.app.push_screen(
            FormScreen("Accept this warning", entries, concern_text(concern, None, full=True)), answered
        )

    @on(Button.Pressed, "#take-back")
    def action_take_back(self) -> None:
        """Take back that the warning is accepted."""
        code = self._code()
        left = tuple(one for one in self._accept if one.code != code)
        if left != self._accept:
            self._now(left, code)

    def _now(self, accept: tuple[Acceptance, ...], code: str | None) -> None:
        """Keep what is accepted now, and stay at the same warning."""
        self._accept = accept
        self._keep(accept)
        self._fill(self._codes.index(code) if code in self._codes else 0)

    def on_click(self, event: object) -> None:
        """Close at a click beside the sheet."""
        if getattr(event, "widget", None) is self:
            self.dismiss()


def _line(concern: Concern, by: Acceptance | None) -> Content:
    return concern_text(concern, by, full=True) + Content("\n")


def _vain(by: Acceptance) -> Content:
    name = by.code.replace("-", " ")
    return Content.styled(
        f"✓ Accepted by {by.who}: {by.why} ({name}: no longer a warning)\n", "$foreground 65%"
    )


def _checked(who: str, why: str) -> str:
    checked(Acceptance, {"code": CODES[0], "who": who, "why": why})
    return ""
