"""The planner on a copy of the demo's costume, with the tour's strip over its screens."""

import asyncio
import shutil
from pathlib import Path
from typing import Any, ClassVar, Final

from textual import work
from textual.binding import Binding, BindingType
from textual.css.query import NoMatches

from planner.app.drafts import Drafts
from planner.app.instead import InsteadList
from planner.app.main_screen import MainScreen
from planner.app.picker import Picker
from planner.app.planner_app import PlannerApp
from planner.app.state import state_of
from planner.app.tour.steps import CALLED, SCREENS, Step, place_keys, steps
from planner.app.tour.strip import Strip
from planner.catalogue.palette import load
from planner.data import demo
from planner.job import read_job_file

LOOK: Final = 0.1
"""Seconds between two looks at what the person has done."""

_BETWEEN: Final = 0.25
"""Seconds between two keys that are pressed for somebody."""

_PATIENCE: Final = 2.0
"""Seconds that what was pressed for somebody is waited for before the tour goes on without it."""

_LINE: Final = 1
"""Line of the demo's costume that the tour begins at, from 0: the one that will not stay blue."""

_JOB: Final = "hoop-second-half.toml"


def copied(folder: Path) -> Path:
    """Copy the demo's palette, a costume of it and its offers into a folder; return the costume's file."""
    shutil.copytree(demo(), folder / "palette", ignore=shutil.ignore_patterns("jobs", "offers.csv"))
    work = folder / "costume"
    work.mkdir()
    shutil.copyfile(demo() / "offers.csv", work / "offers.csv")
    path = work / _JOB
    shutil.copyfile(demo() / "jobs" / _JOB, path)
    file = read_job_file(path)
    return file.with_job(file.job.model_copy(update={"offers": "offers.csv"})).save().path


class TourApp(PlannerApp):
    """The planner with a guide.

    Parameters
    ----------
    folder
        An empty folder for the copy of the demo; whoever made it removes it.
    given
        As for `PlannerApp`.

    """

    CSS_PATH = "../app.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "tour('back')", "Back", show=False, priority=True),
        Binding("f3", "tour('on')", "On", show=False, priority=True),
        Binding("f4", "tour('leave')", "Leave the tour", show=False, priority=True),
    ]

    def __init__(self, folder: Path, **given: Any) -> None:
        path = copied(folder)
        palette = load(folder / "palette")
        file = read_job_file(path)
        given = {"drafts": Drafts(folder / "drafts"), "palettes": folder / "palette", **given}
        super().__init__(palette, state_of(file.job, palette, file, path).at_line(_LINE), **given)
        self._folder = folder
        self._steps = steps()
        self._keys = place_keys()
        self.step = 0
        """Which step is shown, from 0."""
        self.touring = True
        self._armed = True
        self._before = self._chosen()
        self._pressing = False

    def on_mount(self) -> None:
        """Begin."""
        super().on_mount()
        self._look = self.set_interval(LOOK, self._watch)

    # What the person has done.

    def _where(self) -> str:
        """Return which screen is on top, as the steps call it; nothing for one of no step."""
        name = SCREENS.get(type(self.screen).__name__, "")
        if name == "main" and isinstance(self.focused, InsteadList):
            return "instead"
        return name

    def _on_main(self) -> bool:
        return isinstance(self.screen, MainScreen) and self.screen.here

    def _chosen(self) -> dict[str, object]:
        line = self.state.pairing
        return {"pairing": (line.stone, line.coating, line.size), "venue": self.state.job.venues[0]}

    def _holds(self, step: Step) -> bool:
        """Return whether a step is done."""
        if not step.done:
            return False
        screen = "main" if step.done.get("screen") == "main" and self._on_main() else self._where()
        found = {"screen": screen, "picker": self._picking(), "page": self._page()}
        now = self._chosen()
        return all(
            now[value] != self._before[value] if name == "changed" else found[name] == value
            for name, value in step.done.items()
        )

    def _picking(self) -> str:
        """Return the key of the row whose choices are open."""
        if not self._on_main():
            return "elsewhere"
        picker = self.main.query_one(Picker)
        return picker.field.key if self.main.picking and picker.field else ""

    def _page(self) -> str:
        """Return which page of the order screen is shown."""
        if self._where() != "order":
            return ""
        from planner.app.order.order_page import OrderPage

        return "order" if self.screen.query_one(OrderPage).display else ""

    def _watch(self) -> None:
        if not self.touring or self._pressing:
            return
        step = self._steps[self.step]
        done = self._holds(step)
        if done and self._armed:
            self._to(self.step + 1)
            return
        self._armed = self._armed or not done
        self._show()

    def _to(self, number: int, *, back: bool = False) -> None:
        """Go to a step; one that was gone back to waits until it is done again."""
        self.step = max(0, min(number, len(self._steps) - 1))
        self._before = self._chosen()
        self._armed = not (back and self._holds(self._steps[self.step]))
        self._show()

    def _show(self) -> None:
        screen = self.screen
        step = self._steps[self.step]
        try:
            strip = screen.query_one(Strip)
        except NoMatches:
            if screen.is_mounted:
                screen.mount(Strip(), before=0 if screen.children else None)
            return
        if strip.is_mounted and strip.children:
            strip.show(step, self.step + 1, len(self._steps), self._away(step))

    def _away(self, step: Step) -> str:
        """Return how to get back to where a step is done; nothing for somebody who is there."""
        where = self._where()
        if where == step.at or (step.at == "main" and self._on_main()):
            return ""
        place = CALLED[step.at].format_map(self._keys)
        back = "Esc takes you back"
        lead = f"{back} to" if step.at == "main" else f"{back}, and the key in brackets to"
        return f"The tour waits while you look round. {lead} {place}."

    # Going on, back and off.

    def on_strip_wish(self, message: Strip.Wish) -> None:
        """Do what a button says."""
        self.action_tour(message.way)

    def action_tour(self, way: str) -> None:
        """Go back or on, or leave the tour."""
        if not self.touring or self._pressing:
            return
        last = self.step == len(self._steps) - 1
        if way == "leave" or (way == "on" and last):
            self._end()
        elif way == "back":
            self._to(self.step - 1, back=True)
        elif self._away(self._steps[self.step]) or not self._steps[self.step].press:
            self._to(self.step + 1)
        else:
            self._press()

    @work(exclusive=True, group="tour")
    async def _press(self) -> None:
        """Press the keys of the step; where that does not do it, it is gone on from all the same."""
        number, step = self.step, self._steps[self.step]
        self._pressing = True
        try:
            for key in step.press:
                self.simulate_key(key)
                await asyncio.sleep(_BETWEEN)
            for _ in range(round(_PATIENCE / LOOK)):
                if self._holds(step):
                    break
                await asyncio.sleep(LOOK)
        finally:
            self._pressing = False
        if self.step == number and not self._holds(step):
            self._to(number + 1)

    def _end(self) -> None:
        """Take the strip away; the planner stays open on the copy."""
        self.touring = False
        self._look.stop()
        for screen in self.screen_stack:
            screen.query(Strip).remove()
        self.notify("The tour is over. This is a copy: try anything. q leaves; planner begins your own.")

    # The copy is nobody's work.

    def keep(self) -> None:
        """Keep nothing of the copy as a draft."""
        if not self._is_copy():
            super().keep()

    async def _may_go(self) -> bool:
        """Leave the copy without asking."""
        return True if self._is_copy() else await super()._may_go()

    def _is_copy(self) -> bool:
        file = self.state.file
        return file is not None and file.path.is_relative_to(self._folder)
