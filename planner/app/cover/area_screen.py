"""The form of an area: only what its shape and pattern need is asked, and what it takes is told at once."""

from textual import on
from textual.content import Content
from textual.widgets import Input

from planner.app.cover.area_form import asked_for, entries, so_far
from planner.app.form.screen import Asked, FormScreen
from planner.app.parts.plain import Static
from planner.catalogue.palette import Palette
from planner.job import Job
from planner.job.area import Area


class AreaScreen(FormScreen):
    """Dismisses with the texts of a whole area, or None; what was typed until then is in `texts`."""

    def __init__(
        self, title: str, texts: dict[str, str], job: Job, palette: Palette, area: Area | None
    ) -> None:
        """Take what stands there at first; `area` is the one that is changed, if there is one."""
        self._now = dict(texts)
        super().__init__(title, entries(self._now, job, palette, area), Content(" "))
        self._job, self._area = job, area
        self.left: dict[str, str] = dict(texts)
        """What stands in the lines, also after it was left."""

    def on_mount(self) -> None:
        """Ask for what is needed."""
        super().on_mount()
        self._fit()

    @on(Input.Changed)
    def _changed(self) -> None:
        self._now.update(self.texts)
        self.left = dict(self._now)
        self._fit()
        for one in self.query(Asked):
            if one.display and one.text and one.entry.name in {"pattern", "end_spacing_mm"}:
                one.judge()

    def _fit(self) -> None:
        shown = asked_for(self._now)
        for one in self.query(Asked):
            one.display = one.entry.name in shown
        found = so_far(self._now, self._job, self._area)
        if isinstance(found, str):
            said = Content.styled(_sentence(found), "$foreground 65%")
        else:
            hidden = "" if found.hidden is None else f", covering {100 * found.hidden:.0f} % of the cloth"
            said = Content.assemble((f"{found.stones:,} stones", "bold $success"), hidden)
        self.query_one("#intro", Static).update(said)

    def refusal(self) -> str:
        """Return why it is no whole area yet."""
        found = so_far(self._now, self._job, self._area)
        return _sentence(found) if isinstance(found, str) else ""


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."
