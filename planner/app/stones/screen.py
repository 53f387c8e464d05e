"""The screen of stones, coatings and cuts: patches, names, sizes; hers first, and the demo's apart."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import ClassVar, Final

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.events import Resize
from textual.message import Message
from textual.widgets import Input
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from planner.app.depth import BANNERS, Depth, hex_shown
from planner.app.dialogs import TextScreen
from planner.app.parts.find import FindLine
from planner.app.parts.footer import Footer
from planner.app.parts.plain import OptionList, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.parts.ways import Ways
from planner.app.stones.form import CoatingForm, CutForm, StoneForm
from planner.app.stones.form_screen import EntryScreen
from planner.app.stones.rows import Row, rows
from planner.catalogue import own
from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.own import GROUPS, Step
from planner.catalogue.palette import Palette
from planner.catalogue.palette_file import PaletteFile
from planner.catalogue.settings import hide_demo, hide_for_first
from planner.catalogue.stone import Stone
from planner.fitting.by_window import hexes
from planner.refusal import Refusal
from planner.say.listing import about
from planner.say.table import cut as shortened

KINDS: Final = ("stone", "coating", "cut")
_NAMES: Final = ("Stones", "Coatings", "Cuts")
_NONE_YET: Final = {
    "stone": "You have no stones of your own yet: press a to add one.",
    "coating": "You have no coatings of your own yet: press a to add one, beginning as AB.",
    "cut": "You have no cuts of your own: those commonly sold mostly do; a adds one.",
}
_PATCH: Final = 6
_FORMS: Final[dict[str, type[StoneForm] | type[CoatingForm] | type[CutForm]]] = {
    "stone": StoneForm, "coating": CoatingForm, "cut": CutForm,
}  # fmt: skip


class StonesScreen(SteadyScreen[Stone | Coating | None]):
    """Dismisses with the entry that the present pairing is to have, or None."""

    DEFAULT_CSS = """
    StonesScreen {
        #kinds { margin: 0 1; }
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #find { margin: 0 1; background: $panel; border: none; height: 1; }
        #lead { height: 1; padding: 0 1; color: $text-warning; }
        #entries { height: 1fr; margin: 0 1; padding: 0; border: none; background: $background;
                   scrollbar-size-vertical: 1; }
        #about { height: 4; padding: 0 1; border-top: solid $primary; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "Add"),
        Binding("c", "change", "Change"),
        Binding("d", "duplicate", "Copy"),
        Binding("r", "rename", "Rename"),
        Binding("delete,minus", "remove", "Delete", key_display="Del"),
        Binding("u,ctrl+z", "undo", "Undo", key_display="u"),
        Binding("h", "hide", "Demo"),
        Binding("slash,f", "find", "Find", show=False),
        Binding("tab", "kind", "Coatings", priority=True, show=False),
        Binding("escape", "leave", "Back"),
    ]

    class Looked(Message):
        """What one entry looks like is known."""

        def __init__(self, entry: Stone | Coating | Cut) -> None:
            super().__init__()
            self.entry = entry

    def __init__(
        self, palette: Palette, palettes: Path | None, depth: Depth, *,
        used: Sequence[tuple[str, str]] = (), adding: bool = False,
    ) -> None:  # fmt: skip
        """Take what there is, where hers is kept, and what the present costume takes, by kind and id.

        With `adding`, a first stone is asked for at once.
        """
        super().__init__()
        self.palette = palette
        self._palettes, self._depth, self._kind, self._used = palettes, depth, "stone", frozenset(used)
        self._adding = adding
        self._rows: list[Row] = []
        self._at: list[int | None] = []
        """For each line of the list its row; None for a heading."""
        self._hexes: dict[Stone | Coating | Cut, tuple[str, ...]] = {}
        self._steps: list[Step] = []

    def compose(self) -> ComposeResult:
        """Lay out the two kinds, the line to find by, the list, and what is told of one."""
        yield Ways(_NAMES, KINDS.index(self._kind), id="kinds")
        if BANNERS[self._depth]:
            yield Static(BANNERS[self._depth], id="caveat")
        yield FindLine("#entries", placeholder="/ and type to find: navy, ss16 …", compact=True, id="find")
        yield Static(id="lead")
        yield OptionList(id="entries", compact=True)
        yield Static(id="about")
        yield Footer()

    def on_mount(self) -> None:
        """Show what there is."""
        self._fill()
        self._list.focus()
        if self._adding:
            self.soon(self.action_add)

    @property
    def _list(self) -> OptionList:
        return self.query_one("#entries", OptionList)

    def on_resize(self, _event: Resize) -> None:
        """Fit the rows to the width."""
        if self._rows:
            self._fill(self._current)

    # The list.

    def _fill(self, now: Stone | Coating | Cut | None = None) -> None:
        """Show the rows that are wanted; `now` is highlighted, else the first."""
        words = self.query_one(FindLine).value
        self._rows = rows(self.palette, self._kind, words)
        options, self._at = [], []
        for number, row in enumerate(self._rows):
            if number == 0 or row.whose != self._rows[number - 1].whose:
                options.append(Option(Content.styled(GROUPS[row.whose], "bold $secondary"), disabled=True))
                self._at.append(None)
            options.append(Option(self._line(row)))
            self._at.append(number)
        self._list.set_options(options)
        wanted = next((n for n, row in enumerate(self._rows) if now and row.entry.id == now.id), 0)
        if self._rows:
            self._list.highlighted = self._at.index(wanted)
        lead = self._lead()
        self.query_one("#lead", Static).update(Content(lead))
        self.query_one("#lead").display = bool(lead)
        self._tell()
        self._look()

    def _lead(self) -> str:
        """Return what to do next, where that is not plain."""
        if not self._rows and self.query_one(FindLine).value:
            return "Nothing is called that; Esc shows all."
        if not any(kind == self._kind for kind, _ in self.palette.own):
            return _NONE_YET[self._kind]
        other = _NAMES[(KINDS.index(self._kind) + 1) % len(KINDS)].lower()
        such = " such as AB" if self._kind == "stone" else ""
        return (
            f"a adds another, Tab shows {other}{such}, Esc goes on with the costume." if self._adding else ""
        )

    def _line(self, row: Row) -> Content:
        sizes, foil, seen = row.facts
        colours = self._hexes.get(row.entry, ())
        each = _PATCH // max(1, len(colours))
        chips = [(" " * each, f"on {hex_shown(one, self._depth)}") for one in colours]
        chip = Content.assemble(*chips) if chips else Content((" " if self._kind == "cut" else "·") * _PATCH)
        room = max(40, self.size.width - 4) - _PATCH - 1
        if self._kind != "stone":
            return chip + Content.assemble(
                " ", shortened(row.entry.name, room - 28).ljust(room - 28), (seen, "$foreground 65%")
            )
        name, wide = max(14, room - 42), 17
        return chip + Content.assemble(
            " ", shortened(row.entry.name, name - 1).ljust(name), shortened(sizes, wide - 1).ljust(wide),
            (f"{foil:<11}{shortened(seen, 14)}", "$foreground 65%"),
        )  # fmt: skip

    @work(thread=True, exclusive=True, group="look", exit_on_error=False)
    def _look(self) -> None:
        """Find what the entries look like, hers first."""
        worker = get_current_worker()
        for row in list(self._rows):
            if worker.is_cancelled:
                return
            if row.entry not in self._hexes and not isinstance(row.entry, Cut):
                self._hexes[row.entry] = hexes(row.entry, self.palette)
                self.post_message(self.Looked(row.entry))

    @on(Looked)
    def _looked(self, event: Looked) -> None:
        for number, at in enumerate(self._at):
            if at is not None and self._rows[at].entry == event.entry:
                self._list.replace_option_prompt_at_index(number, self._line(self._rows[at]))

    @property
    def _row(self) -> Row | None:
        place = self._list.highlighted
        at = None if place is None or place >= len(self._at) else self._at[place]
        return None if at is None else self._rows[at]

    @property
    def _current(self) -> Stone | Coating | Cut | None:
        return None if self._row is None else self._row.entry

    @on(OptionList.OptionHighlighted)
    def _tell(self) -> None:
        """Say more about the one under the cursor."""
        row = self._row
        said = Content("")
        if row is not None:
            whose = "yours" if row.whose == "own" else "stays as it is; d makes a copy of your own"
            what = about(row.entry, self.palette)
            said = Content.assemble((row.entry.name, "bold"), (f"  {whose}\n", "$foreground 65%"), what)
            if self._kind == "coating":
                said += Content.styled(
                    "\nLeft patch: on jet. Right patch: on clear glass. By the window.", "$foreground 65%"
                )
        self.query_one("#about", Static).update(said)

    @on(Input.Changed)
    def _typed(self) -> None:
        self._fill()

    @on(Input.Submitted)
    def _found(self) -> None:
        self._list.focus()

    @on(Ways.Changed)
    def _other_kind(self, event: Ways.Changed) -> None:
        self._kind = KINDS[event.chosen]
        self._fill()

    def action_kind(self) -> None:
        """Go on to the coatings, or back to the stones."""
        self.query_one(Ways).step()

    def action_find(self) -> None:
        """Type to find."""
        self.query_one(FindLine).focus()

    def action_hide(self) -> None:
        """Hide the demo's here and wherever stones are chosen or ranked, or show them again."""
        if self._hide(hidden=not self.palette.mine):
            self.notify(
                "The demo's are hidden wherever you choose or rank; h shows them again."
                if self.palette.mine
                else "The demo's are shown again."
            )

    def _hide(self, *, hidden: bool) -> bool:
        try:
            self.palette = hide_demo(self.palette, hidden=hidden)
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=8)
            return False
        self._fill(self._current)
        return True

    # What is done.

    @work
    async def action_add(self) -> None:
        """Add an entry made from words."""
        form = _FORMS[self._kind](self.palette)
        await self._ask(form, form.title_new, new=True)

    @work
    async def action_change(self) -> None:
        """Change the one under the cursor, if it is hers."""
        row = self._row
        if row is None:
            return
        if row.whose != "own":
            self.notify(
                f"{row.entry.name} comes with the planner and stays as it is: d makes a copy of yours."
            )
            return
        form = _FORMS[self._kind](self.palette, row.entry)  # type: ignore[arg-type]  # of that kind
        await self._ask(form, form.title_old, new=False)

    async def _ask(self, form: StoneForm | CoatingForm | CutForm, title: str, *, new: bool) -> None:
        screen = EntryScreen(title, form, self.palette, self._depth)
        texts = await self.app.push_screen_wait(screen)
        if texts is None:
            return
        try:
            entry = form.made(texts).entry
            step = (
                own.add(entry, self.palette, palettes=self._palettes)
                if new
                else own.change(entry, self.palette)
            )
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=10)
            return
        self._done(step, f"{entry.name} is {'kept' if new else 'changed'}; u takes it back.")

    @work
    async def action_duplicate(self) -> None:
        """Copy the one under the cursor under another name."""
        # Of the kind shown now: Tab may have changed that before its name is asked for.
        kind, one = self._kind, self._current
        if one is not None and (
            name := await self._called("A copy", f"Name of the copy of {one.name}.", f"{one.name} 2")
        ):
            self._try(lambda: own.copy(self.palette, kind, one.id, name, palettes=self._palettes),
                      f"{name} is a copy of yours; u takes it back.")  # fmt: skip

    @work
    async def action_rename(self) -> None:
        """Give the one under the cursor another name."""
        kind, one = self._kind, self._current
        if one is not None and (
            name := await self._called("Another name", "Jobs that use it go on using it.", one.name)
        ):
            self._try(lambda: own.rename(self.palette, kind, one.id, name), f"Now {name}; u takes it back.")

    async def _called(self, title: str, text: str, first: str) -> str | None:
        return await self.app.push_screen_wait(TextScreen(title, text, first))

    def action_remove(self) -> None:
        """Delete the one under the cursor; u brings it back."""
        one = self._current
        if one is None:
            return
        if (self._kind, one.id) in self._used:
            self.notify(f"This costume uses {one.name}: choose another for it first, then delete it.",
                        severity="warning")  # fmt: skip
            return
        self._try(
            lambda: own.remove(self.palette, self._kind, one.id), f"{one.name} is deleted; u brings it back."
        )

    def _try(self, does: Callable[[], Step], said: str) -> None:
        try:
            step = does()
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=8)
            return
        self._done(step, said)

    def _done(self, step: Step, said: str) -> None:
        self._steps.append(step)
        self._use(step.before, step.after, step.entry)
        before = self.palette
        try:
            self.palette = hide_for_first(before)
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=8)
        if self.palette is not before:
            self._fill(self._current)
            said = f"{said} The demo's are hidden from now on: h shows them."
        self.notify(said)

    def action_undo(self) -> None:
        """Take the last step back."""
        if not self._steps:
            self.notify("Nothing was done here yet.")
            return
        step = self._steps.pop()
        try:
            file = step.back()
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=8)
            return
        self._use(step.after, file, step.entry)
        self.notify(f"Taken back: {step.entry.name}.")

    def _use(self, before: PaletteFile, now: PaletteFile, entry: object) -> None:
        self.palette = own.after(self.palette, before, now)
        self._fill(entry if isinstance(entry, (Stone, Coating, Cut)) else None)

    @on(OptionList.OptionSelected)
    def _taken(self) -> None:
        """Leave with the one under the cursor for the present pairing; while she adds, only Esc goes on."""
        if isinstance(self._current, Cut):
            self.notify("A stone has its cut: press c on a stone of yours, and name this one there.")
        elif self._current is not None and not self._adding:
            self.dismiss(self._current)

    def action_leave(self) -> None:
        """Show all again, then leave."""
        line = self.query_one(FindLine)
        if line.value or self.focused is line:
            line.value = ""
            self._list.focus()
        else:
            self.dismiss(None)
