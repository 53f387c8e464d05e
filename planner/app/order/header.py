"""What stands above the pages: the job and its money, how colours are shown, and what the pages are of."""

from typing import Final

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content

from planner.app.depth import BANNERS, Depth
from planner.app.order.content import FAINT
from planner.app.parts.plain import Button, Static
from planner.app.parts.ways import Ways
from planner.job.model import Job
from planner.say.names import day, money
from planner.say.table import cut

_PAGES: Final = ("1 Offers", "2 As read", "3 Order")


class Header(Vertical):
    """One line on the job, and the buttons that choose page, offers and drawer; presses go to the screen."""

    DEFAULT_CSS = """
    Header {
        height: auto;
        #where { height: 1; padding: 0 1; background: $panel; text-wrap: nowrap; text-overflow: ellipsis; }
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #views { height: 1; padding: 0 1; }
        #views Ways { width: 33; }
        #views Button { margin-left: 1; width: auto; min-width: 6; padding: 0; }
    }
    """

    def __init__(self, depth: Depth) -> None:
        super().__init__()
        self._depth = depth

    def compose(self) -> ComposeResult:
        """Yield the lines from above."""
        yield Static(id="where")
        yield Static(BANNERS[self._depth], id="caveat")
        with Horizontal(id="views"):
            yield Ways(_PAGES, 0)
            yield Button("", id="which", compact=True)
            yield Button("", id="file", compact=True)
            yield Button("", id="drawer", compact=True)

    def on_mount(self) -> None:
        """Leave no room for a caveat where there is none."""
        self.query_one("#caveat").display = bool(BANNERS[self._depth])

    def show(self, job: Job, which: str, wait: str, *, drawer: bool) -> None:
        """Show a job, the offers of what are listed, and what is waited for; empty where nothing is.

        `drawer` says whether her own is taken from where the job names none.
        """
        narrow = self.screen.size.width < 100
        by = job.stones_by or job.event
        due = "" if by is None else f" · {'stones by' if job.stones_by else 'worn'} {day(by)}"
        most = f" · at most {money(job.budget, job.currency)}" if job.budget is not None else ""
        self.query_one("#where", Static).update(Content.assemble(
            ("Offers and order ", "bold $primary"), (job.title, "bold"), (f"{most}{due}", FAINT),
            (f"  {wait}" if wait else "", "italic $secondary"),
        ))  # fmt: skip
        names = {"file": ("f", "offers", job.offers), "drawer": ("d", "drawer", job.stock)}
        for name, (key, what, path) in names.items():
            known = path.replace("\\", "/").rpartition("/")[2]
            none = "your drawer" if drawer and name == "drawer" else f"no {what}"
            label = f"{key} {cut(known, 14)}" if known else f"{key} {none}"
            self._label(name, label if narrow or not known else f"{key}  {what}: {cut(known, 30)}")
        self._label("which", f"a {which}" if narrow else f"a  For {which}")

    def _label(self, name: str, label: str) -> None:
        button = self.query_one(f"#{name}", Button)
        button.label = Content(label)
        button.refresh(layout=True)
