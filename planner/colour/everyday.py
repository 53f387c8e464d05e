"""What people would call a colour: how many would use each everyday word.

A share is the share of the votes near a colour, in CAM16-UCS, each weighted by a Gaussian of its
distance. Every name of an online survey (``shared/xkcd_colours.csv``) votes for the words in it: the
last counts twice ("bluish purple" is a purple first), and names that stand for a word are listed in
``shared/everyday_words.toml``. Near neutral the survey has few names; there the neutral centroids of
ISCC–NBS (K. L. Kelly, D. B. Judd, NBS Special Publication 440, 1976) vote as well, and where it is dark
the survey's names count as the standard has them: they were seen on glowing screens, where black begins
lower than on cloth.
"""

import tomllib
from functools import cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.colour.names import neutral_centroids
from planner.colour.ordered import distinct
from planner.colour.screen import srgb_to_lab
from planner.colour.uniform import lab_to_cam16_ucs
from planner.data import shared

WIDTH: Final = 4.0
"""Standard deviation of the Gaussian in CAM16-UCS: of widths from 2 to 8 the one by which a name left out
of the survey is foretold best by the others (`tests/colour/test_everyday.py` prints it)."""

ENOUGH: Final = 0.5
"""Overlap from which two colours count as called the same: half of the people would use one word for both
(our choice)."""

_BLACK_TO: Final = 26.0
"""L* up to which a neutral surface is black by ISCC-NBS: Munsell value 2.5 (Kelly & Judd, from memory)."""

_NEARLY_NEUTRAL: Final = 8.0
"""C* below which that goes for the survey's names too (our choice)."""

_DARKEST: Final = 10.0
"""L* below which a hue fades from the words as it does from sight; nothing darker has a name of its own
(the standard's black lies at 13)."""

# The lattice on which shares are kept: all colours of surfaces lie within it.
_LOW: Final = np.array([0.0, -60.0, -60.0])
_HIGH: Final = np.array([100.0, 60.0, 60.0])
_STEP: Final = WIDTH / 2.0

# Points worked on at once: few enough to stay in the cache.
_BLOCK: Final = 128


class _Votes(NamedTuple):
    words: tuple[str, ...]
    places: NDArray[np.float32]
    """(V, 3) J', a', b' of every vote."""
    votes: NDArray[np.float32]
    """(V, W) how a vote is shared among the words; rows sum to 1."""


def words() -> tuple[str, ...]:
    """Return the everyday words, in the order of `shares`."""
    return _votes().words


def shares(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how many people would use each everyday word.

    Parameters
    ----------
    lab : ndarray, shape (..., 3)
        CIELAB under D65; what is lighter than white counts as white's lightness.

    Returns
    -------
    ndarray, shape (..., 13)
        Shares in the order of `words`, which sum to 1.
    """
    flat = np.array(lab, np.float64).reshape(-1, 3)
    fades = np.clip(flat[:, :1] / _DARKEST, 0.0, 1.0)
    flat = np.concatenate([np.clip(flat[:, :1], _DARKEST, 100.0), fades * flat[:, 1:]], axis=1)
    return _looked_up(lab_to_cam16_ucs(flat)).reshape(*np.shape(lab)[:-1], -1)


@cache
def _kept() -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """Shares at the points of a lattice in CAM16-UCS, and which of them were worked out already."""
    sides = [round((high - low) / _STEP) + 1 for low, high in zip(_LOW, _HIGH, strict=True)]
    return np.zeros((*sides, len(words())), np.float32), np.zeros(sides, bool)


def _looked_up(place: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return (N, W) shares at places (N, 3), linearly between the points of the lattice around each.

    Thousands of batches of one stone lie in few cells of it.
    """
    kept, known = _kept()
    at = (np.clip(place, _LOW, _HIGH) - _LOW).T / _STEP
    cell = np.minimum(at.astype(np.intp), np.array(known.shape)[:, None] - 2)
    part = (at - cell).astype(np.float32)
    first = np.ravel_multi_index(tuple(cell), known.shape)
    steps = np.indices((2, 2, 2)).reshape(3, 8)
    corners = first + np.array(np.ravel_multi_index(tuple(steps), known.shape))[:, None]
    new = distinct(corners[~known.ravel()[corners]])
    for start in range(0, len(new), _BLOCK):
        some = np.stack(np.unravel_index(new[start : start + _BLOCK], known.shape), axis=1)
        kept[tuple(some.T)] = _shares(some * _STEP + _LOW)
        known[tuple(some.T)] = True
    one, two, three = np.stack([1.0 - part, part]).swapaxes(0, 1)
    weights = one[:, None, None] * two[:, None] * three
    flat = kept.reshape(-1, kept.shape[-1])
    found = np.zeros((len(place), kept.shape[-1]), np.float32)
    for corner, weight in zip(corners, weights.reshape(8, -1), strict=True):
        each = flat.take(corner, axis=0)
        each *= weight[:, None]
        found += each
    return found.astype(float)


def _shares(place: NDArray[np.float64]) -> NDArray[np.float32]:
    """Return (N, W) shares at places (N, 3), from every vote."""
    _, places, votes = _votes()
    # Single precision is plenty for a share.
    apart = np.zeros((len(place), len(places)), np.float32)
    for mine, theirs in zip(place.T.astype(np.float32), places.T, strict=True):
        step = mine[:, None] - theirs
        apart += step * step
    # Where no vote is near, the nearest decide. What is far counts for nothing, and would be slow.
    width = np.maximum(np.float32(WIDTH * WIDTH), apart.min(axis=1, keepdims=True))
    weight = np.exp(np.maximum(apart / (-2.0 * width), np.float32(-40.0)))
    return np.asarray(weight @ votes / weight.sum(axis=1, keepdims=True))


def overlap(lab1: NDArray[np.float64], lab2: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return (...) the share of people who could call two colours by one word, 0 to 1.

    Parameters
    ----------
    lab1, lab2 : ndarray, shape (..., 3)
        CIELAB under D65; leading shapes broadcast.
    """
    return np.asarray(np.minimum(shares(lab1), shares(lab2)).sum(axis=-1))


def word_of(lab: NDArray[np.float64]) -> tuple[str, float]:
    """Return the everyday word that most people would use of a colour (3,), and how many, 0 to 1."""
    found = shares(lab)
    most = int(found.argmax())
    return words()[most], float(found[most])


@cache
def _votes() -> _Votes:
    lists = tomllib.loads(shared("everyday_words.toml").read_text(encoding="utf-8"))
    known = tuple(lists)
    meaning: dict[str, list[int]] = {}
    for at, word in enumerate(known):
        for name in lists[word]:
            meaning.setdefault(name, []).append(at)
    named, neutral, only = survey(), neutral_centroids(), np.eye(len(known))
    labs = np.array([lab for _, lab in named])
    votes = np.array([_vote(name, meaning, len(known)) for name, _ in named])
    black = (labs[:, 0] < _BLACK_TO) & (np.hypot(labs[:, 1], labs[:, 2]) < _NEARLY_NEUTRAL)
    counts = votes.any(axis=1)
    votes[counts & black] = only[known.index("black")]
    votes = votes[counts] / votes[counts].sum(axis=1, keepdims=True)
    labs = np.concatenate([labs[counts], [lab for _, lab in neutral]])
    votes = np.concatenate([votes, only[[known.index(family) for family, _ in neutral]]])
    places = lab_to_cam16_ucs(labs)
    return _Votes(known, places.astype(np.float32), votes.astype(np.float32))


def survey() -> list[tuple[str, NDArray[np.float64]]]:
    """Return every name of the survey with its CIELAB (3,)."""
    lines = shared("xkcd_colours.csv").read_text(encoding="utf-8").splitlines()
    rows = [line.split(",") for line in lines if not line.startswith("#")][1:]
    # A table of ours, all alike: nearly a thousand are read at every start.
    rgb = np.frombuffer(bytes.fromhex("".join(text.removeprefix("#") for _, text in rows)), np.uint8)
    labs = srgb_to_lab(rgb.reshape(-1, 3))
    return [(name, lab) for (name, _), lab in zip(rows, labs, strict=True)]


def _vote(name: str, meaning: dict[str, list[int]], count: int) -> list[float]:
    """Return (W,) how a name counts for each word: the last of its words twice, and alike around a "/"."""
    vote = [0.0] * count
    said = [meaning[part] for part in name.replace("/", " ").split(" ") if part in meaning]
    for place, one in enumerate(said, 1):
        for at in one:
            vote[at] += (2.0 if place == len(said) or "/" in name else 1.0) / len(one)
    return vote
