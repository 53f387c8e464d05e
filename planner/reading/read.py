"""One full reading: seen colour, glow, flash, lots, drift, field and sparkle of one pairing in one venue."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Venue
from planner.colour.names import FLASH_FAMILIES, capped, flash_family, named
from planner.colour.screen import lab_to_srgb, to_hex
from planner.optics.arrays import Floats
from planner.optics.store import fingerprint, kept
from planner.reading.among import clear_stone, taken_for, white_of
from planner.reading.drift import Difference, difference
from planner.reading.eye import Sights, sights, sights_are_kept
from planner.reading.field import Field, arc_minutes, merge_distances, sees_facets
from planner.reading.hand import in_hand, window_in_facets
from planner.reading.holding import Lots, targets
from planner.reading.known import ROOM, circumstances, of_films
from planner.reading.look import flash_xyz
from planner.reading.lots import BODY_STEP, draw, leaning, scale_weights, spread_over
from planner.reading.matter import FINE, QUICK, Gem, Grade, absorption, gem, lay_angle
from planner.reading.question import Question, typed_colour
from planner.reading.scene import Scene, perceived, scene, tristimulus_weights
from planner.reading.sparkle import CONTRAST, Flash, FlashShares, flash_at, hurried, noticed, shares
from planner.reading.states import States, states
from planner.reading.viewer import SeenOf, Viewer


@dataclass(frozen=True)
class Seen:
    """A colour as the eye has it, adapted to the venue."""

    lab: tuple[float, float, float]
    """CIELAB, adapted from the venue's white to D65."""
    name: str
    """Nearest ISCC-NBS centroid; of the colour dimmed to white's luminance if it is brighter."""
    family: str
    """Hue family of that name."""
    hex: str
    """The nearest colour a screen can show with that hue."""
    in_gamut: bool
    """Whether a screen can show the colour itself."""
    brighter_than_white: bool


@dataclass(frozen=True)
class Sparkle:
    """Flash against the same cut in lead crystal."""

    per_stone: float
    """Flashes that one stone shows at a moment."""
    stops: float
    """Brightness of the flashes over the stone's glow, in stops."""
    number_ratio: float
    """How many times as many flashes as the crystal shows."""
    brighter_stops: float
    """How many stops brighter its flashes are than the crystal's; negative is dimmer."""


@dataclass(frozen=True)
class Hand:
    """One stone in the hand by a north window, at a first look's accuracy."""

    seen: Seen
    """Seen colour of the stone."""
    swatch: Seen
    drift: Difference
    """From the swatch to the stone, both by the window."""
    table: str
    """Hue family of what the table throws back of the window; one of `FLASH_FAMILIES`."""
    rim: str
    """The same of the facets round it."""


@dataclass(frozen=True, eq=False)
class Reading:
    """What a pairing will read as."""

    question: Question
    seen: Seen
    """What the viewer takes the stones' colour to be, from where it is worn: all is judged by this.
    Where single stones are not resolved, of as many as are taken as one, the cloth left out."""
    seen_of: SeenOf
    """Whether single stones are seen ("stone"), or stones and cloth as one ("field")."""
    seen_stone: Seen
    """What light single stones send between their flashes, beside white cloth alone."""
    nearer: Seen
    """What single stones' colour is taken to be from nearer, among each other as `seen` is."""
    seen_field: Seen
    """The light of stones and cloth together, likewise."""
    brightness: float
    """Luminance of the glow, cd/m²."""
    glow: Seen
    """The stone averaged over everything, as a blurred photograph has it. Under small lamps most of a
    stone's light comes in flashes, and nobody sees it so."""
    uncoated: Seen
    """Seen colour of the same stone without its coating."""
    swatch: Seen
    cloth: Seen
    shift: Difference
    """From the uncoated stone to the coated one."""
    drift: Difference
    """From the swatch to what is seen, in the same light."""
    flash: Flash | None
    """None where the venue has no small lamp, or nothing flashes."""
    at_hand: bool
    """Whether the flash is told facet by facet, as a near eye sees it."""
    lamp_eye: float | None
    """Angle between the main lamp and the eye, degrees, to which the flash belongs."""
    field: Field
    lots: Lots
    lab_lots: Floats
    """(N, 3) CIELAB of the seen colour of every lot drawn."""

    @property
    def family_uncoated(self) -> str:
        """What family the uncoated stone has: clear glass is clear, whatever tinge the light gives it."""
        return "clear" if self.question.stone.colourless else self.uncoated.family

    @cached_property
    def sparkle(self) -> Sparkle | None:
        """The flash against lead crystal, which is looked at when this is first asked for."""
        return _sparkle(self)

    @cached_property
    def hand(self) -> Hand:
        """The other look: in the hand by the window, worked out when it is first asked for."""
        return _hand(self.question)


def seen(lab: Floats) -> Seen:
    """Return a CIELAB colour (3,) with its name and screen colour."""
    return seen_each(lab[None])[0]


def seen_each(labs: Floats) -> list[Seen]:
    """Return CIELAB colours (N, 3) with their names and screen colours."""
    dimmed, is_capped = capped(labs)
    rgb, in_gamut = lab_to_srgb(labs)
    return [
        Seen((float(lab[0]), float(lab[1]), float(lab[2])), *name, to_hex(colour), bool(shown), bool(bright))
        for lab, name, colour, shown, bright in zip(
            labs, named(dimmed), rgb, in_gamut, is_capped, strict=True
        )
    ]


def cloth_lab(reflectance: Floats, venue: Scene) -> Floats:
    """Return CIELAB (3,) of cloth in a venue."""
    return perceived((reflectance * venue.white) @ tristimulus_weights(), venue)


def read(question: Question, grade: Grade = FINE) -> Reading:
    """Return the reading of a pairing."""
    place = scene(question.venue)
    film = states(question.coating, full=True)
    of = question.viewer.judged(question.millimetres)
    found = _sights(question, question.coating, film, place, grade, _ALL, of)
    at_hand = sees_facets(question.millimetres, question.distance)
    # The film's factors are at hand still, as they are no more once another stone was looked at.
    flash = _flash(question, film, found, place, grade, at_hand=at_hand)
    lots = draw(question.coating)
    spread = question.coating.stone_spread if question.coating else 0.0
    lot_xyz = spread_over(film, spread, found.seen[of], lots) * leaning(found.widely, lots)
    white = white_of(question, place, grade)
    lot_lab = taken_for(lot_xyz, place, white, question.distance)
    glow = nominal(film, spread, found.glow)
    stone, _, field = (perceived(nominal(film, spread, one), place) for one in found.seen.values())
    lab = taken_for(nominal(film, spread, found.seen[of]), place, white, question.distance)
    nearer = taken_for(nominal(film, spread, found.seen["stone"]), place, white, question.distance)
    swatch, cloth = (
        cloth_lab(question.swatch.reflectance, place),
        cloth_lab(question.cloth.reflectance, place),
    )
    bare = lab if question.coating is None else _bare(question, place, grade, of)
    labs = [lab, stone, nearer, field, perceived(glow, place), bare, swatch, cloth]
    seen_, stone_, nearer_, field_, glow_, bare_, swatch_, cloth_ = seen_each(np.stack(labs))
    distances = merge_distances(stone, cloth, question.millimetres, question.cover)
    return Reading(
        question=question,
        seen=seen_,
        seen_of=question.viewer.of(question.millimetres),
        seen_stone=stone_,
        nearer=nearer_,
        seen_field=field_,
        brightness=float(glow[1]),
        glow=glow_,
        uncoated=bare_,
        swatch=swatch_,
        cloth=cloth_,
        shift=difference(bare, lab),
        drift=difference(swatch, lab),
        flash=flash,
        at_hand=at_hand,
        lamp_eye=place.lamp_eye,
        field=Field(field_.lab, *distances),
        lots=Lots(lot_lab, swatch, targets(question.doubt, swatch_.lab, lots), question.tolerance),
        lab_lots=lot_lab,
    )


def look_beside(question: Question) -> None:
    """Leave in the store what a reading looks at besides: clear lead crystal, and the stone in the hand."""
    at_hand = sees_facets(question.millimetres, question.distance)
    _crystal(question.cut, question.size, question.venue, at_hand)
    _hand(question)


def bodies(stone: Stone, cut: Cut) -> Floats:
    """Return (1 or 3, W) absorption per mm: nominal, or a low, the nominal and a high concentration."""
    body = absorption(stone, cut)
    if stone.opaque or stone.body_spread == 0 or not body.any():
        return body[None]
    step = BODY_STEP * stone.body_spread
    return body * np.array([max(0.0, 1.0 - step), 1.0, 1.0 + step])[:, None]


def nominal(film: States, stone_spread: float, nodes: Floats) -> Floats:
    """Return (X,) the nominal lot's mean, of (T, S, X) values in every state."""
    weights = scale_weights(film.scale, np.ones(1), stone_spread)[0]
    return weights @ nodes[film.middle, nodes.shape[1] // 2]


_ALL: Final[tuple[SeenOf, ...]] = ("stone", "stones", "field")


def is_read(question: Question, grade: Grade = FINE) -> bool:
    """Say whether an earlier run left most of what `read` looks at."""
    film, place = states(question.coating, full=True), scene(question.venue)
    return sights_are_kept(
        *_asked(
            question, question.coating, film, place, grade, _ALL, question.viewer.judged(question.millimetres)
        )
    )


def _sights(
    question: Question, coating: Coating | None, film: States, place: Scene, grade: Grade,
    wanted: Sequence[SeenOf], by_lean: SeenOf | None = None,
) -> Sights:  # fmt: skip
    """Return glow and seen colour in every state and body concentration."""
    return sights(*_asked(question, coating, film, place, grade, wanted, by_lean))


def _asked(
    question: Question, coating: Coating | None, film: States, place: Scene, grade: Grade,
    wanted: Sequence[SeenOf], by_lean: SeenOf | None,
) -> tuple[
    Gem, Coating | None, States, Floats, float, Scene, Floats, Viewer, Sequence[SeenOf], SeenOf | None
]:  # fmt: skip
    return (
        _gem(question, coating, grade), coating, film, bodies(question.stone, question.cut),
        question.millimetres, place, question.cloth.reflectance, question.viewer, wanted, by_lean,
    )  # fmt: skip


def _gem(question: Question, coating: Coating | None, grade: Grade) -> Gem:
    return gem(question.stone, question.cut, grade, question.lean, coating=coating)


def _bare(question: Question, place: Scene, grade: Grade, of: SeenOf) -> Floats:
    """Return (3,) CIELAB of the seen colour of the stone without its coating."""
    found = _sights(question, None, states(None, full=True), place, grade, (of,)).seen[of]
    white = white_of(question, place, grade)
    return taken_for(found[0, found.shape[1] // 2], place, white, question.distance)


def _hand(question: Question) -> Hand:
    asked = in_hand(question)
    place, film = scene(asked.venue), states(asked.coating, full=True)
    found = _sights(asked, asked.coating, film, place, QUICK, ("stone",)).seen["stone"]
    spread = asked.coating.stone_spread if asked.coating else 0.0
    lab = taken_for(nominal(film, spread, found), place, white_of(asked, place, QUICK), asked.distance)
    swatch = cloth_lab(asked.swatch.reflectance, place)
    table, rim = (
        FLASH_FAMILIES[max(int(flash_family(xyz, place.white_xyz)), 0)] for xyz in window_in_facets(asked)
    )
    return Hand(
        seen(lab),
        seen(swatch),
        difference(swatch, lab),
        table,
        rim,
    )


def _flash(
    question: Question, film: States, seen_there: Sights, place: Scene, grade: Grade, *, at_hand: bool
) -> Flash | None:
    """Return the flashes that stand out from the field about them."""
    if not place.lamps:
        return None
    stone = _gem(question, question.coating, grade)
    # Evenness and single layers are left at nominal: the thickness nodes alone carry the flash.
    nodes = film.nominal_evenness()
    body = bodies(question.stone, question.cut)
    one = body[len(body) // 2][None]
    field, own = (seen_there.seen[of][film.middle, len(body) // 2, 1] for of in ("field", "stone"))
    # A facet is about a quarter as wide as its stone.
    wide = arc_minutes(question.millimetres * (0.25 if at_hand else 1.0), question.distance)
    contrast = noticed(wide)
    # On dark cloth any bright stone stands out; a flash stands out from its own stone too.
    about = np.maximum(field, (CONTRAST - 1.0) / contrast * own)
    sweep = question.viewer.sight(question.millimetres, "stone", 1).sweep
    spread = question.coating.stone_spread if question.coating else 0.0
    size, white = np.array([question.millimetres]), place.white_xyz

    def make() -> FlashShares:
        found = flash_xyz(stone, question.coating, nodes, one, size, place, by_facet=at_hand)
        return shares(hurried(found, sweep), film.scale, about, white, about=(1.0, spread), contrast=contrast)

    known = circumstances(stone, one, size, place, question.cloth.reflectance, question.viewer)
    key = (lay_angle(question.coating), at_hand, spread, contrast, fingerprint(about), of_films(nodes), known)
    classed = kept(FlashShares, key, make, ROOM)
    return flash_at(classed, 1.0, spread, float(nominal(film, spread, seen_there.glow)[1]))


def _sparkle(reading: Reading) -> Sparkle | None:
    question, flash = reading.question, reading.flash
    crystal = _crystal(question.cut, question.size, question.venue, reading.at_hand)
    if flash is None or crystal is None:
        return None
    level, number = crystal
    brighter = level_of(reading.brightness, flash) - level
    return Sparkle(flash.per_stone, flash.stops, flash.per_stone / number, brighter)


@lru_cache(maxsize=128)
def _crystal(cut: Cut, size: str, venue: Venue, at_hand: bool) -> tuple[float, float] | None:
    """Return (log2 of mean flash luminance, flashes a stone) of clear lead crystal in this cut.

    A first look's accuracy will do for what is only compared with.
    """
    stone = clear_stone(cut, size)
    grey = typed_colour("#777777")
    question = Question(stone, cut, None, size, grey, grey, venue, venue.distance)
    place, film = scene(venue), states(None, full=True)
    found = _sights(question, None, film, place, QUICK, ("stone", "field"))
    flash = _flash(question, film, found, place, QUICK, at_hand=at_hand)
    return None if flash is None else (level_of(float(found.glow[0, 0, 1]), flash), flash.per_stone)


def level_of(glow: float, flash: Flash) -> float:
    """Return how bright flashes are, log2 of cd/m², of what has so bright a glow (cd/m²)."""
    return float(np.log2(max(glow, 1e-12))) + flash.stops
