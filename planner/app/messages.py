"""Messages: each is shown for a while over the footer, and all can be read again."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from textual.content import Content

from planner.app.details import Sheet

MOST: Final = 200
"""Messages remembered; the oldest are forgotten first."""


@dataclass(frozen=True)
class Told:
    """One message."""

    when: datetime
    text: str


class MessagesScreen(Sheet):
    """Everything told so far, the newest first."""

    def __init__(self, told: Sequence[Told]) -> None:
        lines = [
            Content.assemble((f"{one.when:%H:%M:%S}  ", "$foreground 65%"), one.text)
            for one in reversed(told)
        ]
        super().__init__("Messages", Content("\n").join(lines) if lines else Content("Nothing was told yet."))
