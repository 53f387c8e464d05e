"""What every screen of the planner is: calm under keys that come faster than it can be drawn or left.

A key held down, or typed while a screen is made or already left, must do nothing there. So a screen is left
once, does nothing before its widgets are there or after it was left, and hears no messages then.
"""

import asyncio
from collections.abc import Callable
from contextvars import ContextVar
from typing import Any, TypeVar

from textual import on
from textual.app import App
from textual.await_complete import AwaitComplete
from textual.binding import Binding
from textual.events import Compose, Event, Mount, MouseDown, Resize, ScreenResume
from textual.geometry import Size
from textual.message import Message
from textual.screen import ModalScreen, Screen
from textual.worker import Worker, get_current_worker

from planner.app.parts.plain import Button, OptionList

Result = TypeVar("Result")

_OWN = "textual.messages"
"""Messages with which the library itself draws and closes a screen."""


_ASKED_ON: ContextVar[Screen[Any] | None] = ContextVar("asked on", default=None)
"""The screen that was on top when a key asked the app itself for what is now done."""


class SteadyScreen(Screen[Result]):
    """A screen that is left once, and asks for no widget that is not there."""

    gone = False
    """Whether it was dismissed."""
    _was_shown = False

    @property
    def here(self) -> bool:
        """Whether its widgets are there, and it was not left."""
        return self.is_mounted and not self._going

    @property
    def _going(self) -> bool:
        """Whether it was left, is taken away or ends with the planner, so that widgets may be missing."""
        return self.gone or self._pruning or not self.is_attached or not self.app.is_running

    def soon(self, then: Callable[[], object]) -> None:
        """Do something once the screen is drawn, if it is still here by then."""
        self.call_after_refresh(lambda: then() if self.here else None)

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Leave the screen with a result; a second time, or under another screen, does nothing."""
        if self.gone or not self.is_active:
            return AwaitComplete()
        self.gone = True
        return super().dismiss(result)

    @on(Compose)
    def _fit(self) -> None:
        """Know the window's size before anything is styled: told of it later, all would be styled twice."""
        for size, steps in zip(
            self.app.size, (self.HORIZONTAL_BREAKPOINTS, self.VERTICAL_BREAKPOINTS), strict=True
        ):
            for _, name in steps or ():
                self.set_class(name in self._get_breakpoint_classes(size, steps or []), name, update=False)
        self.app.stylesheet.apply(self)

    @on(Mount)
    def _show_keys(self) -> None:
        """Show the keys as such that do something, once they do."""
        self.call_after_refresh(self.refresh_bindings)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Say whether a key does anything: None is not yet, False no longer."""
        if self.gone:
            return False
        return super().check_action(action, parameters) if self.is_mounted else None

    def _screen_resized(self, size: Size) -> None:
        """Lay out the screen for a size, unless it is: the library tells a new screen its size twice."""
        if size != self._compositor.size:
            super()._screen_resized(size)

    def _compositor_refresh(self) -> None:
        """Paint, but not in a batch, when the library would throw away what was painted."""
        if not self.app._batch_count:  # noqa: SLF001 - told nowhere else
            super()._compositor_refresh()

    def _forward_event(self, event: Event) -> None:
        """Take a key or a click; a click on what was taken off the screen meanwhile does nothing."""
        if isinstance(event, MouseDown):
            under, _ = self.get_widget_and_offset_at(event.x, event.y)
            if under is not None and under.parent is None:
                return
        super()._forward_event(event)

    async def _dispatch_message(self, message: Message) -> None:
        """Hear a message, unless the screen was left, or the line of a list that it is about is gone.

        Nor is a size heard that the window no longer has: of two sizes laid out in turn each asks for the
        other again, for ever.
        """
        if isinstance(message, Resize) and message.size != self.app.size:
            return
        if isinstance(message, ScreenResume) and not self._was_shown:
            self._was_shown, message.refresh_styles = True, False  # its widgets have just been styled
        if isinstance(message, Mount) and self._going:
            return  # it goes before it was there
        if self.gone and not _is_own(message):
            return
        if isinstance(message, OptionList.OptionMessage) and not _stands(message):
            return
        if isinstance(message, OptionList.OptionSelected | Button.Pressed) and self.app.screen is not self:
            return  # Enter held down was heard many times before what the first one opened was there
        await super()._dispatch_message(message)


def _is_own(message: Message) -> bool:
    """Say whether the library itself needs a message, to draw a screen and to close it."""
    return isinstance(message, Event) or type(message).__module__ == _OWN


def _stands(message: OptionList.OptionMessage) -> bool:
    """Say whether the option of a message is still where it was in its list."""
    options = message.option_list.options
    return message.option_index < len(options) and options[message.option_index] is message.option


class SteadyApp(App[Result]):
    """An app in which each screen opens one other at a time."""

    def get_default_screen(self) -> Screen[object]:
        """Return the screen under all others."""
        return SteadyScreen(id="_default")

    def refresh_css(self, animate: bool = True) -> None:
        """Style everything anew; before there is anything, all style sheets would be read twice for that."""
        if self._dom_ready:
            super().refresh_css(animate)
        else:
            self.stylesheet.set_variables(self.get_css_variables())
            self.stylesheet.update(self, animate=animate)

    def get_key_display(self, binding: Binding) -> str:
        """Return how a key is written at the foot of a screen: Esc as in every text."""
        return "Esc" if binding.key == "escape" else super().get_key_display(binding)

    def run_worker(self, work: Any, *given: Any, **how: Any) -> Worker[Any]:
        """Begin work of the app's own, and let it know on which screen it was asked for."""
        before = _ASKED_ON.set(self.screen if self.screen_stack else None)
        try:
            return super().run_worker(work, *given, **how)
        finally:
            _ASKED_ON.reset(before)

    async def push_screen_wait(self, screen: Any, *, mode: str | None = None) -> Any:
        """Show a screen and return what it is left with.

        A key held down asks for the same form many times before the first is there. Whoever asks from under
        another screen gets none, and is let go: forty on top of each other cannot even be drawn.
        """
        # To its end, even if whoever asks is let go meanwhile: a screen may be on its way out in it.
        await asyncio.shield(self._flush_next_callbacks())
        node, asked_on = get_current_worker().node, _ASKED_ON.get()
        asking = node if isinstance(node, Screen) else asked_on if asked_on in self.screen_stack else None
        if asking not in (None, self.screen):
            raise asyncio.CancelledError
        # As the library's own does, but nothing comes between the question above and the screen.
        return await asyncio.shield(self.push_screen(screen, wait_for_dismiss=True, mode=mode))


class SteadySheet(ModalScreen[Result], SteadyScreen[Result]):
    """The same over another screen."""
