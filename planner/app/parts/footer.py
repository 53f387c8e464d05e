"""The keys at the foot of a screen."""

from textual import widgets
from textual.app import ComposeResult
from textual.screen import Screen


class Footer(widgets.Footer):
    """The library's footer, made anew only where it would show something else.

    Its keys are looked at after each change of focus and of what a key does, and mostly are as they were.
    """

    _made_of: tuple[object, ...] | None = None

    def compose(self) -> ComposeResult:
        """Yield a widget for each key, and remember of what they are made."""
        self._made_of = self._keys_now() if self._bindings_ready else None
        for key in super().compose():
            # As it will be: told of it later, each would be styled once more.
            yield key.set_class(self.compact, "-compact", update=False)

    def bindings_changed(self, screen: Screen[object]) -> None:
        """Look at the keys once the screen is drawn."""
        self._bindings_ready = True
        if screen.app.app_focus and self.is_attached and screen is self.screen and screen.is_mounted:
            self.call_after_refresh(self._follow)

    async def _follow(self) -> None:
        if self.is_attached and self._keys_now() != self._made_of:
            await self.recompose()

    def _keys_now(self) -> tuple[object, ...]:
        return tuple(
            (key.binding, key.enabled, key.tooltip)
            for key in self.screen.active_bindings.values()
            if key.binding.show
        )
