"""The screen of the drawer: what she owns, lot by lot."""

from pathlib import Path
from typing import ClassVar, Final

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets.option_list import Option

from planner.app.depth import BANNERS, Depth, hex_shown
from planner.app.drawer.form import asked, lot_of
from planner.app.form.screen import FormScreen
from planner.app.parts.footer import Footer
from planner.app.parts.plain import OptionList, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.sheets import Sheet
from planner.atomic import make_folder
from planner.catalogue.palette import Palette
from planner.order.drawer import Owned, owned, read_drawer, same_lot
from planner.order.stock import Lot, StockFile
from planner.refusal import Refusal
from planner.say.table import cut

_EMPTY: Final = (
    "Nothing is in the drawer yet: press a to add what you own, one lot after the other. An order takes from "
    "it first, and what was seen of a lot stays with it."
)
_NO_LOT: Final = "There is no lot yet: a adds one."


class DrawerScreen(SteadyScreen[None]):
    """Every lot with its colour, size, count, and where it was bought."""

    DEFAULT_CSS = """
    DrawerScreen {
        #drawer-title, #drawer-head { height: 1; padding: 0 1; }
        #drawer-caveat { height: auto; padding: 0 1; color: $text-warning; }
        #lots { height: 1fr; margin: 0 1; padding: 0; border: none; background: $background;
                scrollbar-size-vertical: 1; }
        #drawer-about { height: 4; padding: 0 1; border-top: solid $primary; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "Add a lot"),
        Binding("c", "change", "Change"),
        Binding("delete,minus", "remove", "Delete", key_display="Del"),
        Binding("u,ctrl+z", "undo", "Undo", key_display="u"),
        Binding("m", "more", "Ask for more"),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(self, palette: Palette, path: Path, depth: Depth) -> None:
        """Take what there is, the drawer's file, which need not be there yet, and the console's depth."""
        super().__init__()
        self._palette, self._path, self._depth = palette, path, depth
        self._file: StockFile | None = None
        self._lots: tuple[Owned, ...] = ()
        self._steps: list[tuple[StockFile, StockFile]] = []
        """What was done here: the file before and after each step."""

    def compose(self) -> ComposeResult:
        """Lay out the list and what is told of one lot."""
        yield Static(Content.styled("Your drawer, lot by lot", "bold $primary"), id="drawer-title")
        if BANNERS[self._depth]:
            yield Static(BANNERS[self._depth], id="drawer-caveat")
        yield Static(id="drawer-head")
        yield OptionList(id="lots", compact=True)
        yield Static(id="drawer-about")
        yield Footer()

    def on_mount(self) -> None:
        """Show what there is."""
        self._list.focus()
        self._read()

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self._fill()

    @property
    def _list(self) -> OptionList:
        return self.query_one("#lots", OptionList)

    @property
    def _now(self) -> int | None:
        at = self._list.highlighted
        return at if at is not None and at < len(self._lots) else None

    def _read(self) -> None:
        try:
            self._file = read_drawer(self._path, self._palette)
            self._lots = owned(self._file, self._palette)
        except Refusal as problem:
            self._file, self._lots = None, ()
            self.query_one("#drawer-about", Static).update(
                Content.styled(f"✗ {problem}. Mend the file, then open this again.", "$error")
            )
            return
        self._fill()

    def _fill(self) -> None:
        at = self._now or 0
        self._list.set_options([Option(self._row(one)) for one in self._lots])
        self._list.highlighted = min(at, len(self._lots) - 1) if self._lots else None
        head = self._cells("Stone and coating", "Size", "Lot", "Count", "Bought at", "Seen as")
        self.query_one("#drawer-head", Static).update(Content.styled(f"   {head}", "$foreground 65%"))
        self._tell()

    def _row(self, one: Owned) -> Content:
        chip = (" " * 2, f"on {hex_shown(one.seen, self._depth)}") if one.seen else "··"
        lot = one.lot
        cells = (one.name, lot.size, lot.number, f"{lot.count:,}", lot.seller, one.called)
        return Content.assemble(chip, " ", self._cells(*cells))

    def _cells(self, *cells: str) -> str:
        room = max(70, self.size.width - 6)
        name = room - 47
        wide = (name, 5, 8, 7, 12, 15)
        told = (f"{cut(one, each - 1):>{each - 1}} " if at == 3 else f"{cut(one, each - 1):<{each}}"
                for at, (one, each) in enumerate(zip(cells, wide, strict=True)))  # fmt: skip
        return "".join(told)

    def on_option_list_option_highlighted(self) -> None:
        """Say more about the lot under the cursor."""
        self._tell()

    def _tell(self) -> None:
        if self._now is None:
            said = Content(_EMPTY) if self._file is not None else Content("")
        else:
            one = self._lots[self._now]
            seen = f"seen as {one.called} ({one.seen})" if one.seen else "nobody noted what it looks like"
            told = [f"{one.lot.count:,} stones", seen, one.lot.note]
            said = Content.assemble(
                (f"{one.name}, {one.lot.size}", "bold"), f"\n{'; '.join(each for each in told if each)}\n",
                ("m words a question to the seller for more of the same lot.", "$foreground 65%"),
            )  # fmt: skip
        self.query_one("#drawer-about", Static).update(said)

    # What is done.

    @work
    async def action_add(self) -> None:
        """Add a lot."""
        await self._ask("A lot of yours")

    @work
    async def action_change(self) -> None:
        """Change the lot under the cursor."""
        if self._now is None:
            self.notify(_NO_LOT)
        else:
            await self._ask("Change this lot", self._now)

    async def _ask(self, title: str, number: int | None = None) -> None:
        if self._file is None:
            return
        old = None if number is None else self._file.lots[number]
        texts = await self.app.push_screen_wait(FormScreen(title, asked(self._palette, old)))
        if texts is None or self._file is None:
            return
        lots = self._file.lots
        if number is not None and lots[number : number + 1] != (old,):  # a key deleted one meanwhile
            number = lots.index(old) if old in lots else None
        try:
            self._keep(lot_of(texts, self._palette), number)
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=10)

    def _keep(self, lot: Lot, number: int | None) -> None:
        if self._file is None:
            return
        if number is None and lot in self._file.lots:
            # What is entered twice counts once.
            self._list.highlighted = self._file.lots.index(lot)
            self.notify("That very lot is in the drawer already: c changes how many there are of it.",
                        severity="warning", timeout=8)  # fmt: skip
            return
        make_folder(self._path.parent)
        self._done(self._file.with_lot(lot, number), "Kept in the drawer; u takes it back.")
        self._list.highlighted = len(self._lots) - 1 if number is None else number

    def _done(self, after: StockFile, said: str) -> None:
        if self._file is not None:
            self._steps.append((self._file, after.save()))
            self._read()
            self.notify(said)

    def action_remove(self) -> None:
        """Delete the lot under the cursor; u brings it back."""
        if self._file is None or self._now is None:
            self.notify(_NO_LOT)
            return
        one = self._lots[self._now]
        try:
            self._done(self._file.without_lot(self._now),
                       f"{one.name}, {one.lot.size}, is deleted; u brings it back.")  # fmt: skip
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=10)

    def action_undo(self) -> None:
        """Take the last step back."""
        if not self._steps:
            self.notify("Nothing was done here yet.")
            return
        before, after = self._steps.pop()
        try:
            before.save_over(after)
        except Refusal as problem:
            self.notify(str(problem), severity="warning", timeout=10)
            return
        self._read()
        self.notify("Taken back.")

    def action_more(self) -> None:
        """Show a question to the seller for more of the same lot, and put it where it can be pasted."""
        if self._now is None:
            self.notify(_NO_LOT)
            return
        text = same_lot(self._lots[self._now])
        self.app.copy_to_clipboard(text)
        hint = Content.styled(
            "\n\nIt is copied: paste it into your letter. Where the terminal copies nothing, planner drawer "
            f"--more {self._now + 1} prints it.", "$foreground 65%",
        )  # fmt: skip
        self.app.push_screen(Sheet("More of the same lot", Content(text) + hint))

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
