"""What is to be seen: the picture of the cloth, which tilts, and the patches of colour beside it."""

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal

from planner.app.answer import Patches
from planner.app.depth import Depth
from planner.app.desk import Desk, Drawn, View
from planner.app.look import Look
from planner.app.picture import FURTHEST, Picture
from planner.picture.picture import Prepared
from planner.reading.question import Question

TURNS = 2
"""How often the cloth tilts to and fro for one press of a key."""

FRAME = 0.08
"""Seconds from one frame to the next while it tilts."""

_STEPS = 24


class Sight(Horizontal):
    """Picture and patches of one answer; frames are drawn at the desk."""

    def __init__(self, desk: Desk, depth: Depth) -> None:
        super().__init__(id="sight")
        self._desk, self._depth = desk, depth
        self._serial = 0
        self._question: Question | None = None
        self._prepared: Prepared | None = None
        self._path: list[float] = []

    @property
    def swinging(self) -> bool:
        """Whether the cloth tilts by itself."""
        return bool(self._path)

    def compose(self) -> ComposeResult:
        """Yield the picture and the patches."""
        patches = Patches(id="patches")
        patches.depth = self._depth
        yield Picture(self._depth)
        yield patches

    def show(self, serial: int, look: Look) -> None:
        """Show the colours of an answer; its picture comes by itself."""
        self.query_one(Patches).look = look
        self._serial, self._question = serial, look.reading.question

    def clear(self) -> None:
        """Show no picture: there is no answer."""
        self._question, self._prepared, self._path = None, None, []
        self.query_one(Picture).clear()

    def drawn(self, message: Drawn) -> None:
        """Show a frame, and have the next one drawn while the cloth tilts."""
        picture = self.query_one(Picture)
        self._prepared = message.prepared
        if (message.prepared.width, message.prepared.height) == picture.pixels:
            picture.show(message.rgb)
        if self._path:
            self.set_timer(FRAME, self._next_frame)

    def swing(self) -> None:
        """Let the cloth tilt to and fro a few times; once more stops it."""
        if self._path:
            self._path = []
            return
        there = [FURTHEST * i / _STEPS for i in range(1, _STEPS + 1)]
        swing = [*there, *there[-2::-1], *(-x for x in there), *(-x for x in there[-2::-1]), 0.0]
        self._path = swing * TURNS
        self._next_frame()

    def _next_frame(self) -> None:
        if self._path and self._prepared is not None and self.screen.is_current:
            self.query_one(Picture).tilt = self._path.pop(0)
            self._draw(self._prepared)
        else:
            self._path = []

    def _draw(self, what: Prepared | Question) -> None:
        picture = self.query_one(Picture)
        self._desk.view = View(*picture.pixels, picture.tilt)
        self._desk.draw(self._serial, what, self._desk.view)

    @on(Picture.Resized)
    def _resized(self) -> None:
        picture = self.query_one(Picture)
        self._desk.view = View(*picture.pixels, picture.tilt)
        if self._question is not None:
            self._draw(self._question)

    @on(Picture.Tilted)
    def _tilted(self) -> None:
        self._path = []
        if self._prepared is not None:
            self._draw(self._prepared)
