"""The fields of the ticket: what can be chosen, what it is now, and the state after choosing."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Final, TypeVar

from planner.app.state import State, colour_name
from planner.catalogue.by_hand import number
from planner.catalogue.coating import NONE, Coating
from planner.catalogue.fields import Entry
from planner.catalogue.sizes import sizes
from planner.catalogue.venue import Venue
from planner.colour.screen import to_hex
from planner.reading.question import can_carry, swatch_colour
from planner.refusal import InvalidValue, Refusal

EntryT = TypeVar("EntryT", bound=Entry)

BY_EYE = "by eye"
"""The choice that opens the chooser of swatches by eye, by words and by digits."""


@dataclass(frozen=True)
class Choice:
    """One thing to choose."""

    value: str
    label: str
    hint: str = ""
    """A word or two more."""
    hex: str | None = None
    """A colour to show beside it."""


@dataclass(frozen=True)
class Field:
    """One row of the ticket."""

    key: str
    """The letter that opens it."""
    label: str
    help: str
    """What it means, one line."""
    value: Callable[[State], str]
    """The value of the present choice."""
    shown: Callable[[State], str]
    choices: Callable[[State], Sequence[Choice]]
    choose: Callable[[State, str], State]
    """The state after choosing a value; raises ValueError with a sentence."""
    typed: Callable[[State, str], Choice | None] = lambda _state, _text: None
    """What a typed text means beyond the choices, if anything."""
    hex: Callable[[State], str | None] = lambda _state: None


def _stones(state: State) -> list[Choice]:
    size = state.pairing.size
    return [
        Choice(one.id, one.name, one.material if size in one.sizes else f"not in {size}")
        for one in _offered(state.palette.stones, state.palette.offered.stones, state.pairing.stone)
    ]


def _offered(every: Mapping[str, EntryT], offered: Mapping[str, EntryT], now: str | None) -> list[EntryT]:
    """Return what can be chosen: what is offered, and what is chosen now."""
    return [one for key, one in every.items() if key in offered or key == now]


def coating_label(coating: Coating | None) -> str:
    """Return what a coating is called; None is uncoated."""
    return "Uncoated" if coating is None else coating.name


def _coatings(state: State) -> list[Choice]:
    stone = state.palette.stones[state.pairing.stone]
    every, offered = state.palette.coatings, state.palette.offered.coatings
    films = [one for one in _offered(every, offered, state.pairing.coating) if can_carry(stone, one)]
    return [Choice(NONE, "Uncoated"), *(Choice(one.id, one.name, _layers(one)) for one in films)]


def _layers(coating: Coating) -> str:
    count = len(coating.layers)
    return "under the foil" if coating.where == "foil" else f"{count} layers" if count > 1 else ""


def _choose_stone(state: State, value: str) -> State:
    stone = state.palette.stones[value]
    coating = state.palette.coatings.get(state.pairing.coating)
    return state.with_line(stone=value, coating=state.pairing.coating if can_carry(stone, coating) else NONE)


def _coating_now(state: State) -> str:
    return coating_label(state.palette.coatings.get(state.pairing.coating))


def _sizes(state: State) -> list[Choice]:
    stone, known = state.palette.stones[state.pairing.stone], sizes()
    names = sorted({*stone.sizes, state.pairing.size}, key=lambda name: known[name].nominal_mm)
    return [
        Choice(name, name, f"{known[name].nominal_mm:.1f} mm{'' if name in stone.sizes else ', not sold'}")
        for name in names
    ]


def _typed_size(_state: State, text: str) -> Choice | None:
    digits = text.upper().removeprefix("SS").strip()
    name = f"SS{digits}"
    return Choice(name, name, "not sold in it") if name in sizes() else None


def _venues(state: State) -> list[Choice]:
    return [Choice(one.id, one.name, f"{one.distance:g} m") for one in _offered_venues(state)]


def _offered_venues(state: State) -> list[Venue]:
    known, palette = state.job.venues, state.palette
    return [one for key, one in palette.venues.items() if key in palette.offered.venues or key in known]


def _choose_venue(state: State, value: str) -> State:
    """Make a venue the main one: moved to the front if the job has it, else in place of the first."""
    others = [one for one in state.job.venues if one != value]
    if value not in state.job.venues:
        others = others[1:]
    return state.with_job(venues=(value, *others))


def _also(state: State) -> list[Choice]:
    own = state.job.venues
    return [
        Choice(one.id, one.name, "yes" if one.id in own else "no")
        for one in _offered_venues(state) if one.id != own[0]
    ]  # fmt: skip


def _choose_also(state: State, value: str) -> State:
    own = state.job.venues
    if value in own[1:]:
        return state.with_job(venues=tuple(one for one in own if one != value))
    if value == own[0] or not value:
        return state
    return state.with_job(venues=(*own, value))


def _shown_also(state: State) -> str:
    others = state.job.venues[1:]
    return "nowhere else" if not others else ", ".join(venue_name(state, one) for one in others)


def venue_name(state: State, venue: str) -> str:
    """Return the short name of a venue: what stands before its comma."""
    return state.palette.venues[venue].name.partition(",")[0]


_DISTANCES = (0.7, 2.0, 4.0, 8.0, 12.0, 18.0, 25.0, 40.0, 60.0)


def _distances(state: State) -> list[Choice]:
    usual = state.palette.venues[state.job.venues[0]].distance
    said = {0.7: "arm's length", 2.0: "across a table", 25.0: "back of the stalls", 60.0: "the gods"}
    return [
        Choice("", f"{usual:g} m", "usual there"),
        *(Choice(f"{one:g}", f"{one:g} m", said.get(one, "")) for one in _DISTANCES),
    ]


def _number(text: str, unit: str) -> float | None:
    with suppress(InvalidValue):
        return number(text, unit)
    return None


def _typed_distance(_state: State, text: str) -> Choice | None:
    found = _number(text, "m")
    return None if found is None or not 0 < found <= 500 else Choice(f"{found:g}", f"{found:g} m", "typed")


def swatch_choices(state: State) -> list[Choice]:
    """Return every swatch of the palette, and the present colour if it is none of them."""
    now, palette = (state.job.swatch, state.job.cloth), state.palette
    known = [one for key, one in palette.swatches.items() if key in palette.offered.swatches or key in now]
    found = [Choice(one.id, one.name, hex=hex_of(state, one.id)) for one in known]
    own = [one for one in now if one and one.startswith("#")]
    return [*(Choice(one, one, "your own", one) for one in dict.fromkeys(own)), *found]


def hex_of(state: State, colour: str) -> str | None:
    """Return what a job's colour looks like in daylight; None where no cloth has it."""
    if colour.startswith("#"):
        return colour
    from planner.colour.screen import lab_to_srgb

    try:
        return to_hex(lab_to_srgb(swatch_colour(state.palette.swatches[colour]).lab)[0])
    except InvalidValue:
        return None


def _swatches(state: State) -> list[Choice]:
    return [Choice(BY_EYE, "By eye or in words …", ""), *swatch_choices(state)]


def _typed_colour(_state: State, text: str) -> Choice | None:
    from planner.colour.screen import parse_hex

    try:
        digits = to_hex(parse_hex(text))
    except InvalidValue:
        return None
    return Choice(digits, digits, "typed", digits)


def _cloths(state: State) -> list[Choice]:
    return [Choice("", "The swatch itself", hex=hex_of(state, state.job.swatch)), *swatch_choices(state)]


def _shown_cloth(state: State) -> str:
    return "the same" if state.job.cloth is None else colour_name(state.job.cloth, state.palette)


WISHES: Final = (
    Choice("blend", "Blend in", "vanish into it"),
    Choice("tone", "Tone on tone", "same hue"),
    Choice("contrast", "Stand out", "be seen"),
)
ALLOWED: Final = (
    Choice("arm", "At arm's length", "strict"),
    Choice("seats", "From the seats", "usual"),
    Choice("family", "Same hue family", "any depth"),
)


def _of(choices: Iterable[Choice], value: str) -> str:
    return next((one.label for one in choices if one.value == value), value)


def _covers(_state: State) -> list[Choice]:
    said = {10: "a scatter", 30: "usual", 60: "dense", 85: "edge to edge"}
    return [Choice(f"{n / 100:g}", f"{n} %", said.get(n, "")) for n in (10, 20, 30, 40, 50, 60, 75, 85)]


def _typed_cover(_state: State, text: str) -> Choice | None:
    found = _number(text, "%")
    if found is None or not 0 <= found <= 100:
        return None
    return Choice(f"{found / 100:g}", f"{found:g} %", "typed")


def _shown_allowed(state: State) -> str:
    value = state.job.tolerance
    return _of(ALLOWED, value) if isinstance(value, str) else f"ΔE {value:g}"


def _typed_allowed(_state: State, text: str) -> Choice | None:
    found = _number(text, "")
    return None if found is None or not 0 < found <= 50 else Choice(f"{found:g}", f"ΔE {found:g}", "typed")


def _choose_allowed(state: State, value: str) -> State:
    return state.with_job(tolerance=value if value in {"arm", "seats", "family"} else float(value))


FIELDS: Final = (
    Field("s", "Stone", "The base glass: colour, material, cut, foil.",
          lambda state: state.pairing.stone, lambda state: state.palette.stones[state.pairing.stone].name,
          _stones, _choose_stone),
    Field("c", "Coating", "The film on the stone, or none.",
          lambda state: state.pairing.coating, _coating_now, _coatings,
          lambda state, value: state.with_line(coating=value)),
    Field("z", "Size", "A wider stone is deeper in colour.",
          lambda state: state.pairing.size, lambda state: state.pairing.size, _sizes,
          lambda state, value: state.with_line(size=value), _typed_size),
    Field("m", "Match", "The colour the stones must go with.",
          lambda state: state.job.swatch, lambda state: colour_name(state.job.swatch, state.palette),
          _swatches,
          lambda state, value: state.with_job(swatch=value), _typed_colour,
          lambda state: hex_of(state, state.job.swatch)),
    Field("l", "Cloth", "What they are sewn or glued on, if it is not the swatch.",
          lambda state: state.job.cloth or "",
          _shown_cloth,
          _cloths, lambda state, value: state.with_job(cloth=value or None), _typed_colour,
          lambda state: hex_of(state, state.job.cloth or state.job.swatch)),
    Field("v", "Seen in", "Where it is worn: its lamps make a big difference.",
          lambda state: state.job.venues[0],
          lambda state: venue_name(state, state.job.venues[0]), _venues, _choose_venue),
    Field("o", "Also in", "Other places it must work in. Choose one again to take it off.",
          lambda _state: "", _shown_also, _also, _choose_also),
    Field("d", "From", "How far away the viewer is; type any number of metres.",
          lambda state: "" if state.job.distance is None else f"{state.job.distance:g}",
          lambda state: f"{state.distance:g} m", _distances,
          lambda state, value: state.with_job(distance=float(value) if value else None), _typed_distance),
    Field("w", "Wish", "What the stones should do beside the swatch.",
          lambda state: state.pairing.wish, lambda state: _of(WISHES, state.pairing.wish),
          lambda _state: WISHES, lambda state, value: state.with_line(wish=value)),
    Field("a", "Allow", "How close it must be; or type a figure in ΔE00.",
          lambda state: f"{state.job.tolerance}", _shown_allowed, lambda _state: ALLOWED, _choose_allowed,
          _typed_allowed),
    Field("k", "Cover", "Share of the cloth that stones cover; type any per cent.",
          lambda state: f"{state.job.cover:g}", lambda state: f"{100 * state.job.cover:g} %", _covers,
          lambda state, value: state.with_job(cover=float(value)), _typed_cover),
)  # fmt: skip
"""Every field in the order of the ticket."""

MAIN_VENUE: Final = next(field for field in FIELDS if field.key == "v")


def stepped(field: Field, state: State, step: int) -> State:
    """Return the state with the next or last choice of a field; at either end it stays."""
    values = [one.value for one in field.choices(state) if one.value != BY_EYE]
    now = field.value(state)
    if not values or field.label == "Also in":
        return state
    at = values.index(now) + step if now in values else 0
    return field.choose(state, values[max(0, min(at, len(values) - 1))])


def chosen(field: Field, state: State, value: str) -> State | str:
    """Return the state after choosing, or one sentence on why it cannot be chosen."""
    try:
        after = field.choose(state, value)
        after.question()
    except Refusal as problem:
        return str(problem)
    return after


def beside(field: Field, state: State, values: Sequence[str], far: int = 1) -> list[State]:
    """Return the states with the next and the last of some values of a field, `far` of them each way."""
    now = field.value(state)
    if now not in values or field.label == "Also in":
        return []
    at = values.index(now)
    near = [*values[at + 1 : at + 1 + far], *reversed(values[max(0, at - far) : at])]
    found = [chosen(field, state, value) for value in near if value != BY_EYE]
    return [one for one in found if isinstance(one, State)]
