"""A new costume on the screen: what must be known of it, and on which of one's own stones it opens."""

from collections.abc import Mapping
from functools import partial
from typing import ClassVar, Final, get_args

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical

from planner.app.costume_form import day_in_words, day_of
from planner.app.depth import Depth
from planner.app.form.entry import Entry
from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadySheet
from planner.app.state import USUAL_SIZE, State, new_state
from planner.app.working import WorkingScreen
from planner.assess.begin import Begun, begin, first_look
from planner.catalogue.find import id_of
from planner.catalogue.own import is_own
from planner.catalogue.pairing import pairing_name
from planner.catalogue.palette import Palette
from planner.job import History
from planner.job.model import Wearer
from planner.lighting.halls import hall_said
from planner.lighting.places import places
from planner.refusal import InvalidValue, show

NEW_VENUE: Final = "new"
"""What is typed for a venue that is to be made from words."""

WEARERS: Final[tuple[str, ...]] = get_args(get_args(Wearer)[0])


def entries(palette: Palette) -> tuple[Entry, ...]:
    """Return what is asked of a new costume, beside its swatch."""
    venues = tuple(one.name for one in palette.venues.values() if _offered(one.id, palette))

    def venue(said: str) -> str:
        if said.lower() == NEW_VENUE:
            return "You are asked next for its lamps, one by one."
        if (found := venue_of(said, palette)) is not None:
            return "" if palette.venues[found].name == said else palette.venues[found].name
        if not said:
            raise InvalidValue("say where it is seen, such as school hall, stage lights")
        return " ".join(hall_said(said, palette.venues).notes)

    def wearer(said: str) -> str:
        if said.lower() not in WEARERS:
            raise InvalidValue(f"found {show(said)}; the wearer must be {_either(WEARERS)}")
        return ""

    return (
        Entry("title", "Title", "What the costume is called.", "New costume", lambda _text: ""),
        Entry("venue", "Seen in", "In your words: rink, LED; school hall, stage lights; outdoors. Or new: "
              "lamp by lamp.",
              "", venue, (*venues, *places(), NEW_VENUE)),
        Entry("wearer", "Worn by", f"{_either(WEARERS).capitalize()}: lead and small parts are not for "
              "children.", "adult", wearer, WEARERS),
        Entry("event", "Day", "Day it is first worn, such as 14 March 2027; empty if not known yet.", "",
              lambda text: day_in_words(day_of(text))),
    )  # fmt: skip


def venue_of(said: str, palette: Palette) -> str | None:
    """Return the id of a venue that there is; None where it is to be made."""
    if said.lower() == NEW_VENUE:
        return None
    found = id_of("venue", said, palette.venues)
    return found if found is not None and _offered(found, palette) else None


def _offered(venue: str, palette: Palette) -> bool:
    """Say whether a venue is offered; where only hers are, words make one of hers instead of the demo's."""
    return not palette.mine or is_own(palette, "venue", venue)


def working(
    palette: Palette, swatch: str, venue: str, texts: Mapping[str, str], depth: Depth
) -> WorkingScreen:
    """Return the sheet behind which the job is begun that opens on the best match."""
    place, event = palette.venues[venue], day_of(texts["event"])
    first = partial(first_look, palette, swatch=swatch, venue=place, size=USUAL_SIZE)
    all_of_it = partial(
        begin, palette, title=texts["title"] or "New costume", swatch=swatch, venue=place, size=USUAL_SIZE,
        wearer=texts["wearer"].lower(), event=event,
    )  # fmt: skip
    return WorkingScreen(first, all_of_it, depth)


def state_of_begun(found: Begun, palette: Palette) -> State:
    """Return a new job as it is worked on; it counts as unsaved, since its answers would be lost."""
    return State(palette, History((found.job,)), 0, new_state(palette).job)


def told(found: Begun) -> str:
    """Return on what it opens, and how to go on."""
    if not found.best:
        return "The swatch cannot be judged there, so it opens on the first stone; s chooses another."
    first = found.best[0].question
    name = f"{pairing_name(first.stone, first.coating)}, {first.size}"
    if found.own:
        return f"It opens on {name}, the nearest of your own stones; p ranks them all."
    return f"It opens on {name}, the nearest of the demo's, which is invented; S adds stones of your own."


class NoStonesScreen(SteadySheet[str]):
    """Says that there are no stones of her own yet; dismisses with "add", "demo" or "leave"."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a,enter", "answer('add')", "Add one", show=False),
        Binding("d", "answer('demo')", "The demo's", show=False),
        Binding("escape", "answer('leave')", "Leave", show=False),
    ]

    def compose(self) -> ComposeResult:
        """Yield what there is to choose."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = "Your stones"
            sheet.border_subtitle = "Esc leaves"
            yield Static(
                "You have no stones of your own yet: press a to add one. A name, a colour and its sizes are "
                "enough, and the costume opens on the one that fits best.\n\n"
                "The stones that come with the planner are invented: good to try it with, not to order by."
            )
            with Horizontal(classes="buttons"):
                yield Button("a  Add a stone of mine", id="add", compact=True)
                yield Button("d  Go on with the demo's", id="demo", compact=True)

    def action_answer(self, answer: str) -> None:
        """Answer by a key."""
        self.dismiss(answer)

    @on(Button.Pressed)
    def _pressed(self, event: Button.Pressed) -> None:
        self.dismiss(event.button.id)


def _either(words: tuple[str, ...]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"
