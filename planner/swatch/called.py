"""Colours by the names that people give them: "dusty wine red" is a survey's wine red, made dusty.

Names come from an online survey's list (``shared/xkcd_colours.csv``). A name that is not on it is taken
apart: the longest part that is on it, and the words before it, each of which does what it does elsewhere
in the list, along hues as they are seen (`planner.colour.ipt`): a dusty royal blue stays a blue. Spelling is
forgiven. What was not understood is told, never passed over in silence.
"""

import tomllib
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import hue_difference, lab_to_lch, lch_to_lab
from planner.colour.everyday import survey as named_by_people
from planner.colour.ipt import ipt_to_lab, lab_to_ipt
from planner.colour.screen import lab_to_srgb, parse_hex, srgb_to_lab, to_hex
from planner.data import shared
from planner.refusal import InvalidValue

NAME_UNCERTAINTY: Final = 8.6
"""Root mean square ΔE00 of a name's colour: 95 names are both on the survey's list and among the CSS
colours (W3C, CSS Color Module Level 4); their median difference is 10.8, of which each list has its half in
squares."""

WORD_UNCERTAINTY: Final = 9.0
"""The same for each word that had to be reckoned in. Leaving names out and reckoning them from the others
(`tests/swatch/test_called.py`) gives a root mean square of about 12, which is this and the above together."""

_LEAST_PAIRS: Final = 3
"""Colours with and without a word that the list must have for the word to count as one that changes them."""

_SPELT: Final = 82.0
"""Likeness, out of 100, from which a word counts as another one misspelt (our choice)."""

_NEAR: Final = 86.0
"""Likeness from which a name on the list is worth asking about (our choice)."""

_SPELT_LIKE: Final = 66.0
"""Likeness from which a name is offered where none is understood (our choice)."""

_HUES: Final = ("red", "orange", "yellow", "green", "blue", "purple", "pink", "brown", "grey")

_TURNED: Final = 0.35
"""How far a second hue word draws a colour towards its own (our choice; a third, as "bluish" does)."""


@dataclass(frozen=True, eq=False)
class Named:
    """A colour as a name was understood."""

    name: str
    """What it was taken as: "dusty wine red", of which the list has "wine red"."""
    lab: NDArray[np.float64]
    """(3,) CIELAB under D65."""
    uncertainty: float
    """Root mean square ΔE00 of what else people mean by it."""
    exact: bool
    """Whether the list has the very name; else it should be confirmed by eye."""
    left_out: tuple[str, ...] = ()
    """Words that were not understood."""
    neon: bool = False
    """Whether the name says that the cloth fluoresces."""

    @property
    def hex(self) -> str:
        """The nearest colour of a screen."""
        return to_hex(lab_to_srgb(self.lab)[0])


class UnknownName(InvalidValue):
    """A name in which no colour is heard; it is asked about, with colours to choose from."""

    def __init__(self, text: str, typed_as: str) -> None:
        like = _spelt_like(text)
        self.offers = like or tuple(_listed(one) for one in _HUES)
        """Names spelt like it, or else the plain hues: to be shown beside it."""
        said = " or ".join(one.name for one in self.offers)
        asked = f"is it {said}" if like else f"which is it: {said}"
        also = f"? Say its hue with it, as in {text.strip() or 'petrol'} blue, or type it as {typed_as}"
        super().__init__(f"found '{text}', which is not a colour name on the lists: {asked}{also}")


def _listed(name: str) -> Named:
    return Named(name, _survey().lab[name], NAME_UNCERTAINTY, exact=False)


def _spelt_like(text: str, most: int = 3) -> tuple[Named, ...]:
    from rapidfuzz import fuzz, process

    said, known = " ".join(_words(text)), list(_survey().lab)
    near = process.extract(said, known, scorer=fuzz.ratio, limit=most, score_cutoff=_SPELT_LIKE)
    return tuple(_listed(name) for name, _, _ in near)


def colours_called(text: str, most: int = 4) -> tuple[Named, ...]:
    """Return what a name may mean, the likeliest first; nothing where no colour is heard in it."""
    return _called(text, most, _survey())


def _called(text: str, most: int, survey: "_Survey") -> tuple[Named, ...]:
    words = _words(text)
    if not words:
        return ()
    first = _understood(words, survey)
    found = [] if first is None else [first]
    found += (one for one in _asked(" ".join(words), most, survey) if not first or one.name != first.name)
    return tuple(found[:most])


def _words(text: str) -> list[str]:
    spelt = text.lower().replace("gray", "grey").replace("'", "")
    return "".join(one if one.isalnum() else " " for one in spelt).split()


@dataclass(frozen=True, eq=False)
class _Survey:
    """The list, and what its words do."""

    lab: Mapping[str, NDArray[np.float64]]
    """CIELAB by name."""
    changes: Mapping[str, NDArray[np.float64]]
    """(N, 2, 3) the colours that the list has without a word and with it, as `_seen_lch`, by word."""


@cache
def _survey() -> _Survey:
    lab = {" ".join(_words(name)): value for name, value in named_by_people()}
    with shared("colour_modifiers.toml").open("rb") as file:
        more = tomllib.load(file)["also"]
    lab.update({name: srgb_to_lab(parse_hex(value)) for name, value in more.items() if name not in lab})
    return _Survey(lab, _changes(lab))


def _changes(lab: Mapping[str, NDArray[np.float64]]) -> dict[str, NDArray[np.float64]]:
    """Return, for each word that changes colours, all colours listed without it and with it."""
    pairs = defaultdict(list)
    for name in lab:
        word, _, rest = name.partition(" ")
        if rest in lab:
            pairs[word].append((lab[rest], lab[name]))
    return {word: _seen_lch(np.array(both)) for word, both in pairs.items() if len(both) >= _LEAST_PAIRS}


@cache
def _synonyms() -> tuple[dict[str, str], frozenset[str]]:
    """Return words that stand for words of the list, and words that say nothing of a colour."""
    with shared("colour_modifiers.toml").open("rb") as file:
        data = tomllib.load(file)
    same = {word: meant for meant, words in data["same_as"].items() for word in words}
    return same, frozenset(data["left_out"]["words"])


def _understood(words: Sequence[str], survey: _Survey) -> Named | None:
    """Return the colour that a name says, taken apart where the list does not have it."""
    whole = " ".join(words)
    if whole in survey.lab:
        return Named(whole, survey.lab[whole], NAME_UNCERTAINTY, exact=True, neon="neon" in words)
    same, empty = _synonyms()
    spelt = [one for one in (_spelt(word, survey) for word in words) if one not in empty]
    # "icy blue" is on the list as "pale blue".
    tries = [spelt, [same.get(word, word) for word in spelt]]
    found = [(one, _longest(one, survey)) for one in tries]
    said, (start, end) = max(found, key=lambda one: one[1][1] - one[1][0])
    if start == end:
        return None
    base = " ".join(said[start:end])
    lab = survey.lab[base]
    taken, left = dict[str, str](), []
    # The word next to the colour changes it first: "pale dusty rose" is a pale one of the dusty roses.
    for word in dict.fromkeys([*reversed(said[:start]), *said[end:]]):
        meant = word if word in survey.changes or word in survey.lab else same.get(word, word)
        if meant in survey.changes and (meant not in survey.lab or meant in same.values()):
            lab = _changed(lab, survey.changes[meant])
        elif meant in survey.lab:
            lab = ipt_to_lab((1.0 - _TURNED) * lab_to_ipt(lab) + _TURNED * lab_to_ipt(survey.lab[meant]))
        else:
            left.append(word)
            continue
        taken[word] = meant
    before, after = ([taken[one] for one in part if one in taken] for part in (said[:start], said[end:]))
    name = " ".join(dict.fromkeys([*before, base, *after]))
    unsure = float(np.hypot(NAME_UNCERTAINTY, WORD_UNCERTAINTY * (len(taken) + 2 * len(left)) ** 0.5))
    exact = not taken and not left and said == list(words)
    return Named(name, lab, unsure, exact, tuple(left), neon="neon" in taken.values())


_PLAIN: Final = frozenset(
    {"red", "orange", "yellow", "green", "blue", "purple", "pink", "brown", "grey", "black", "white"}
)
"""Words so wide that another colour beside them says more: "petrol blue" is petrol."""


def _longest(words: Sequence[str], survey: _Survey) -> tuple[int, int]:
    """Return where the longest part that is a name on the list begins and ends.

    Of equals a word that says more than a plain hue counts, then the last.
    """
    parts = [
        (start, end) for start in range(len(words)) for end in range(start + 1, len(words) + 1)
        if " ".join(words[start:end]) in survey.lab
    ]  # fmt: skip

    def order(part: tuple[int, int]) -> tuple[int, bool, int]:
        start, end = part
        return end - start, words[start] not in _PLAIN and words[start] not in survey.changes, end

    return max(parts, key=order, default=(0, 0))


def _seen_lch(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return lightness, chroma and hue (degrees) of CIELAB as IPT has them, in hundredths; (..., 3)."""
    return lab_to_lch(100.0 * lab_to_ipt(lab))


def _changed(lab: NDArray[np.float64], both: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a colour changed as a word changes the colours of the list, those of its hue above all."""
    lch = _seen_lch(lab)
    before, after = both.transpose(1, 0, 2)
    near = np.exp(-0.5 * (hue_difference(before[:, 2], lch[2]) / _LIKE) ** 2) + _ANY
    near /= near.sum()
    lightness = lch[0] + near @ (after[:, 0] - before[:, 0])
    chroma = lch[1] * np.exp(near @ np.log(np.maximum(after[:, 1], 1.0) / np.maximum(before[:, 1], 1.0)))
    hue = lch[2] + near @ hue_difference(before[:, 2], after[:, 2])
    return ipt_to_lab(lch_to_lab(np.array([np.clip(lightness, 3.0, 99.0), chroma, hue])) / 100.0)


_LIKE: Final = 45.0
"""Degrees of hue within which a word's other colours tell most of what it does to one (our choice)."""

_ANY: Final = 0.05
"""Weight that colours of any other hue keep, so that there is always something to go by."""


def _spelt(word: str, survey: _Survey) -> str:
    """Return a word as the list or the table of words spells it, where it is like enough."""
    from rapidfuzz import fuzz, process

    known = _vocabulary(survey)
    if word in known or len(word) < 3:
        return word
    # Few people misspell a first letter, and "number" is no umber.
    alike = [one for one in known if one[0] == word[0]]
    near = process.extractOne(word, alike, scorer=fuzz.ratio, score_cutoff=_SPELT)
    return near[0] if near else word


@lru_cache(maxsize=8)
def _vocabulary(survey: _Survey) -> tuple[str, ...]:
    same, empty = _synonyms()
    return tuple(sorted({word for name in survey.lab for word in name.split()} | {*same} | empty))


def _asked(text: str, most: int, survey: _Survey) -> list[Named]:
    """Return names on the list that are like what was typed, to be asked about."""
    from rapidfuzz import fuzz, process

    near = process.extract(
        text, list(survey.lab), scorer=fuzz.token_sort_ratio, limit=most + 1, score_cutoff=_NEAR
    )
    return [Named(name, survey.lab[name], NAME_UNCERTAINTY, exact=False) for name, _, _ in near]
