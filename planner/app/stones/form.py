"""What is asked of a stone, a coating or a cut, and what becomes of the answers, as on the command line."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, TypeVar, get_args

from planner.app.form.entry import Entry as Asked
from planner.catalogue.by_hand import number
from planner.catalogue.coating import NONE, Coating
from planner.catalogue.cut import Cut
from planner.catalogue.fields import Entry
from planner.catalogue.find import id_meant
from planner.catalogue.own import id_for, named
from planner.catalogue.palette import Palette, commonly_sold
from planner.catalogue.sizes import sizes_in_short, sizes_said
from planner.catalogue.stone import Material, Stone
from planner.fitting.own_cut import FINISHES, own_cut, rows_said
from planner.fitting.own_stone import USUAL_CUT, USUAL_MATERIAL, is_clear, own_stone
from planner.refusal import InvalidValue, show
from planner.swatch.typed import from_text

FOILS: Final = ("silver", "aluminium", "none")
MATERIALS: Final[tuple[str, ...]] = get_args(Material)

EntryT = TypeVar("EntryT", bound=Entry)


@dataclass(frozen=True)
class Made:
    """What the answers come to."""

    entry: Stone | Coating | Cut
    remarks: tuple[str, ...]
    """What was taken for granted, one sentence each."""
    maybe: tuple[tuple[str, str], ...] = ()
    """What else a guessed name of a colour may mean, each with "#rrggbb"."""


class StoneForm:
    """The questions about a stone, new or of hers."""

    title_new, title_old = "A stone of yours", "Change this stone"

    def __init__(self, palette: Palette, old: Stone | None = None) -> None:
        """Take the palette, and the stone that is changed, if one is."""
        self._palette, self._old = palette, old

    @property
    def first(self) -> dict[str, str]:
        """What stands in the lines at first."""
        old = self._old
        if old is None:
            return {"name": "", "colour": "", "sizes": "", "foil": "silver", "cut": USUAL_CUT,
                    "material": USUAL_MATERIAL}  # fmt: skip
        return {"name": old.name, "colour": _colour_of(old), "sizes": sizes_in_short(old.sizes),
                "foil": old.foil, "cut": old.cut, "material": old.material}  # fmt: skip

    def asked(self) -> tuple[Asked, ...]:
        """Return the lines."""
        text, cuts = self.first, self._palette.cuts
        return (
            Asked("name", "Name", "What you call it, in your own words: Royal blue, old stock.", text["name"],
                  _free("stone", self._palette, self._old)),
            Asked("colour", "Colour", "By the window, uncoated: royal blue, 2a4b9c, clear, jet. Empty: as "
                  "the name says.", text["colour"], _colour),
            Asked("sizes", "Sizes", "All at once: SS12 16 20 30, or 5 mm.", text["sizes"], _sizes),
            Asked("foil", "Foil", f"The mirror on its back: {_either(FOILS)}.", text["foil"],
                  _among("the foil", FOILS), FOILS),
            Asked("cut", "Cut", f"Its facets: {_either(tuple(cuts))}; twelve is the usual one.", text["cut"],
                  self._cut, tuple(cuts)),
            Asked("material", "Made of", f"{_either(MATERIALS)}; glass where nobody says.".capitalize(),
                  text["material"], _among("what it is made of", MATERIALS), MATERIALS),
        )  # fmt: skip

    def _cut(self, said: str) -> str:
        found = id_meant("cut", said, self._palette.cuts)
        return "" if found == said else self._palette.cuts[found].name

    def made(self, texts: Mapping[str, str]) -> Made:
        """Return the stone that the answers make.

        Raises
        ------
        Refusal
            If one of them is missing or not understood.

        """
        _free("stone", self._palette, self._old)(texts["name"])
        sizes, cut = sizes_said(texts["sizes"]), id_meant("cut", texts["cut"], self._palette.cuts)
        old = self._old
        same = old is not None and texts["colour"] == self.first["colour"]
        if old is not None and same and (cut, texts["material"]) == (old.cut, old.material):
            data = {**old.model_dump(exclude_unset=True), "name": texts["name"], "sizes": sizes,
                    "foil": _word(texts["foil"])}  # fmt: skip
            return Made(Stone.model_validate(data), ())
        found = own_stone(
            texts["name"], sizes, self._palette.cuts[cut], colour=texts["colour"],
            material=_word(texts["material"]), foil=_word(texts["foil"]),
            entry_id=id_for(self._palette, "stone", texts["name"]) if old is None else old.id,
        )  # fmt: skip
        return Made(found.stone, found.remarks, found.heard[1:])


class CoatingForm:
    """The questions about a coating, new or of hers."""

    title_new, title_old = "A coating of yours", "Change this coating"

    def __init__(self, palette: Palette, old: Coating | None = None) -> None:
        """Take the palette, and the coating that is changed, if one is."""
        self._palette, self._old = palette, old

    def asked(self) -> tuple[Asked, ...]:
        """Return the lines."""
        known = tuple(one.name for one in self._palette.coatings.values())
        old = self._old
        name = Asked("name", "Name", "By which you buy it: Half AB, from the market.",
                     old.name if old else "", _free("coating", self._palette, old))  # fmt: skip
        like = Asked("like", "Begins as", "AB is every aurora film that is sold; or another coating's name.",
                     "AB", self._like, ("AB", *known))  # fmt: skip
        return (name,) if old else (name, like)

    def _like(self, said: str) -> str:
        found = id_meant("coating", said, self._palette.coatings)
        if found == NONE:
            raise InvalidValue("uncoated needs no entry of its own; name a coating, such as AB")
        return self._palette.coatings[found].name

    def made(self, texts: Mapping[str, str]) -> Made:
        """Return the coating that the answers make."""
        _free("coating", self._palette, self._old)(texts["name"])
        if self._old is not None:
            return Made(self._old.model_copy(update={"name": texts["name"]}), ())
        self._like(texts["like"])
        begun = self._palette.coatings[id_meant("coating", texts["like"], self._palette.coatings)]
        return Made(named(begun, texts["name"], id_for(self._palette, "coating", texts["name"])), ())


class CutForm:
    """The questions about a cut, new or of hers."""

    title_new, title_old = "A cut of yours", "Change this cut"

    def __init__(self, palette: Palette, old: Cut | None = None) -> None:
        """Take the palette, and the cut that is changed, if one is."""
        self._palette, self._old = palette, old

    def asked(self) -> tuple[Asked, ...]:
        """Return the lines."""
        old = self._old
        facets = "" if old is None else "+".join(str(row.facets) for row in old.rows)
        return (
            Asked("name", "Name", "What you call it: Ten facets, from the market.", old.name if old else "",
                  _free("cut", self._palette, old)),
            Asked("facets", "Facets", "Round the flat top: 12, or 8+8 for two rows, the outer one first.",
                  facets, _rows),
            Asked("table", "Flat top", "Its width, per cent of the stone's. Empty: as usual.",
                  f"{100 * old.rows[-1].inner:.0f}" if old else "", _share_told),
            Asked("height", "Height", "From back to top, per cent of the stone's width. Empty: as usual.",
                  f"{100 * old.height:.0f}" if old else "", _share_told),
            Asked("finish", "Finish", f"How flat its facets are: {_either(tuple(FINISHES))}.",
                  _finish_of(old), _among("the finish", tuple(FINISHES)), tuple(FINISHES)),
        )  # fmt: skip

    def made(self, texts: Mapping[str, str]) -> Made:
        """Return the cut that the answers make."""
        old = self._old
        _free("cut", self._palette, old)(texts["name"])
        entry_id = id_for(self._palette, "cut", texts["name"]) if old is None else old.id
        return Made(own_cut(
            texts["name"], texts["facets"], table=_share(texts["table"]), height=_share(texts["height"]),
            finish=_word(texts["finish"]), entry_id=entry_id,
        ), ())  # fmt: skip


def _finish_of(cut: Cut | None) -> str:
    """Return the word for how flat a cut's facets are; the nearest one."""
    if cut is None:
        return "usual"
    known = {one.id: one for one in commonly_sold() if isinstance(one, Cut)}
    return min(FINISHES, key=lambda word: abs(known[FINISHES[word]].waviness - cut.waviness))


def _rows(text: str) -> str:
    rows_said(text)
    return ""


def _share(text: str) -> float | None:
    return number(text, "%") / 100.0 if text else None


def _share_told(text: str) -> str:
    if text and not 0.0 < (_share(text) or 0.0) < 1.0:
        raise InvalidValue(f"found {show(text)}; it must be above 0 and below 100 per cent")
    return ""


def _colour_of(stone: Stone) -> str:
    if stone.colour is not None:
        return stone.colour.removeprefix("#")
    return "jet" if stone.opaque else "" if stone.colourants or stone.spectrum else "clear"


def _free(kind: str, palette: Palette, old: Entry | None) -> Callable[[str], str]:
    """Return what refuses a name that is missing, or that another entry of the kind has."""

    def check(text: str) -> str:
        if not text.strip():
            raise InvalidValue("a name is still to be filled in")
        id_for(palette, kind, text, but=old.id if old else "")
        return ""

    return check


def _colour(text: str) -> str:
    return " ".join(from_text(text).notes) if text and not is_clear(text) else ""


def _sizes(text: str) -> str:
    if not text:
        raise InvalidValue("the sizes are still to be filled in, such as SS12 16 20")
    found = sizes_in_short(sizes_said(text))
    return "" if found == " ".join(text.split()) else found


def _among(what: str, words: tuple[str, ...]) -> Callable[[str], str]:
    def check(text: str) -> str:
        if _word(text) not in words:
            raise InvalidValue(f"found {show(text)}; {what} must be {_either(words)}")
        return ""

    return check


def _word(text: str) -> str:
    return " ".join(text.lower().split())


def _either(words: tuple[str, ...]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"
