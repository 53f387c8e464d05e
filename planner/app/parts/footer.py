"""The keys at the foot of a screen."""

from itertools import accumulate
from typing import ClassVar, NamedTuple

from textual import events
from textual.content import Content
from textual.reactive import reactive
from textual.screen import Screen
from textual.widget import Widget


class Key(NamedTuple):
    """A key that does something."""

    key: str
    label: Content
    """How it is written, and what it does."""
    enabled: bool


class Footer(Widget):
    """The keys of a screen in one line; a click on one presses it, and the wheel shows those cut off.

    The library's own makes a widget for each key, more than the rest of a screen has, and all of them anew
    where the focus goes to something with other keys: the whole screen is laid out again then.
    """

    ALLOW_SELECT: ClassVar[bool] = False
    DEFAULT_CSS = "Footer { dock: bottom; height: 1; text-wrap: nowrap; pointer: pointer; }"

    keys: reactive[tuple[Key, ...]] = reactive(())
    _first: reactive[int] = reactive(0)
    """Number of the key on the left."""
    _pointed: reactive[int | None] = reactive(None)
    """Number of the key under the mouse."""

    def on_mount(self) -> None:
        """Hear of every change of what keys do."""
        self.screen.bindings_updated_signal.subscribe(self, self._changed)

    def on_unmount(self) -> None:
        """Hear no more of it."""
        self.screen.bindings_updated_signal.unsubscribe(self)

    def _changed(self, screen: Screen[object]) -> None:
        """Look at the keys once the screen is drawn."""
        if screen.app.app_focus and self.is_attached and screen is self.screen and screen.is_mounted:
            self.call_after_refresh(self._follow)

    def _follow(self) -> None:
        if not self.is_attached:
            return
        # Of keys that do the same the first is shown.
        found: dict[str, Key] = {}
        for _, binding, enabled, _ in self.screen.active_bindings.values():
            if binding.show:
                shown = (self.app.get_key_display(binding), "bold $accent"), f" {binding.description}"
                found.setdefault(binding.action, Key(binding.key, Content.assemble(*shown), enabled))
        self.keys = tuple(found.values())

    def validate__first(self, first: int) -> int:
        """Keep to keys that are there."""
        return max(0, min(first, len(self.keys) - 1))

    def watch_keys(self) -> None:
        """Show other keys from the first one on."""
        self._first, self._pointed = 0, None

    def render(self) -> Content:
        """Return the line."""
        return Content(" ").join(map(self._shown, range(self._first, len(self.keys))))

    def _shown(self, number: int) -> Content:
        _, label, enabled = self.keys[number]
        label = label if enabled else label.stylize("dim")
        return label.stylize("on $block-hover-background") if number == self._pointed else label

    def ends(self) -> list[int]:
        """Return the column after each key that is shown."""
        widths = [one.label.cell_length for one in self.keys[self._first :]]
        return [end + number for number, end in enumerate(accumulate(widths))]

    def _under(self, x: int) -> int | None:
        """Return the number of the key in a column, if there is one."""
        for number, (key, end) in enumerate(zip(self.keys[self._first :], self.ends(), strict=True)):
            if end - key.label.cell_length <= x < end:
                return self._first + number
        return None

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Press the key under the mouse."""
        number = self._under(event.x)
        if number is None:
            return
        key, _, enabled = self.keys[number]
        if enabled:
            self.app.simulate_key(key)
        else:
            self.app.bell()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Show which key a click would press."""
        self._pointed = self._under(event.x)

    def on_leave(self) -> None:
        """Show that it would press none."""
        self._pointed = None

    def on_mouse_scroll_down(self) -> None:
        """Show a key more on the right, where one is cut off."""
        if any(end > self.size.width for end in self.ends()):
            self._first += 1

    def on_mouse_scroll_up(self) -> None:
        """Show a key more on the left."""
        self._first -= 1
