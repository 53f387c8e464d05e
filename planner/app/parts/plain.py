"""The library's widgets with plain text in them: a bracket in a name is a bracket, and never markup.

Texts come from files and from what people type, so the widgets that take any are these throughout; what is
to be styled is `Content` or `Text`.
"""

from typing import Any

from textual import events, widgets  # the one place where markup could come in
from textual._widget_navigation import Direction
from textual.content import Content
from textual.geometry import Size
from textual.visual import VisualType

_LEAST = 8
"""Cells of width in which a text can be broken into lines; in less than its margins nothing can be."""


class Static(widgets.Static):  # noqa: TID251 - the one place
    """A text, or anything that can be shown."""

    def __init__(self, content: VisualType = "", **rest: Any) -> None:
        super().__init__(content, markup=False, **rest)


class Label(widgets.Label):  # noqa: TID251 - the one place
    """A text as wide as it is."""

    def __init__(self, content: VisualType = "", **rest: Any) -> None:
        super().__init__(content, markup=False, **rest)


class OptionList(widgets.OptionList):  # noqa: TID251 - the one place
    """A list to choose from."""

    def __init__(self, *content: Any, **rest: Any) -> None:
        super().__init__(*content, **{"markup": False, **rest})

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return its height; where a small terminal leaves it no width, as if it had a little."""
        return super().get_content_height(container, viewport, max(_LEAST, width))

    async def _on_click(self, event: events.Click) -> None:
        """Let go of a click on a line that has gone since it was painted; the library takes the others."""
        if (event.style.meta.get("option") or 0) >= self.option_count:
            event.prevent_default()

    def _move_page(self, direction: Direction) -> None:
        """Move by a page; where a small terminal leaves no room for a line, there is no page."""
        if (self.highlighted or 0) in self._index_to_line:
            super()._move_page(direction)


class Button(widgets.Button):  # noqa: TID251 - the one place
    """A button."""

    def __init__(self, label: str = "", **rest: Any) -> None:
        super().__init__(Content(label), **rest)
