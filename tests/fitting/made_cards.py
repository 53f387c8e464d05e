"""Sample cards drawn by the planner's own optics from a known film, then spoilt as people spoil them.

The card is drawn at the planner's `QUICK` grade from a catalogue entry, the fit looks at coarser
stones in another way: neither sees the other's numbers.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from planner.catalogue import load
from planner.catalogue.coating import Coating, Lay, Layer
from planner.colour.cielab import lab_to_lch, lab_to_xyz, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.screen import xyz_to_linear
from planner.data import demo
from planner.fitting.films import MATERIALS, PAPER, films
from planner.fitting.sight import ERRORS, Placed, Sample, Sight, even_daylight
from planner.optics.materials import refractive_index
from planner.reading.look import glow_xyz
from planner.reading.matter import QUICK, absorption, gem
from planner.reading.read import nominal
from planner.reading.scene import perceived, scene
from planner.reading.states import states

COLOURED = ("shackle-red", "lanyard-orange", "baize-green", "hinge-aqua", "marlinspike-navy", "pulley-blue")
ELSEWHERE = ("spindle-cyan", "gimlet-scarlet", "ratchet-smoke")
# Films that are no candidates themselves must be foretold too.
TRUE = (*MATERIALS, "Nb2O5", "Ta2O5", "TiO2 (porous film)")


@cache
def palette():
    return load(demo())


def placed(stone, size="SS20"):
    one = palette().stones[stone]
    return Placed(one, palette().cuts[one.cut], size)


def film(material, nm, evenness):
    return Coating(
        id="true", name="True", basis="invented", layers=(Layer(material=material, nm=nm),),
        lay=Lay(evenness=evenness), lot_spread=0.0, index_spread=0.0, evenness_spread=0.0,
    )  # fmt: skip


def glow(one, coating, concentration=1.0):
    """Return (3,) CIELAB of a stone's glow in even daylight."""
    body = absorption(one.stone, one.cut)
    if not one.stone.opaque:
        body = body * concentration
    states_ = states(coating, full=False)
    place = scene(even_daylight())
    xyz = glow_xyz(
        gem(one.stone, one.cut, QUICK), coating, states_, body[None], np.array([one.millimetres]),
        (place,), np.full(81, PAPER),
    )[:, :, 0]  # fmt: skip
    return perceived(nominal(states_, coating.stone_spread if coating else 0.0, xyz), place)


def camera(rng, source):
    """Return a camera (or screen) whose exposure and white balance are off, a gain for each channel."""
    exposure, balance = GAINS[source]
    gains = np.exp(rng.normal(0.0, exposure) + rng.normal(0.0, balance, 3))
    channels = xyz_to_linear(np.eye(3))

    def photograph(lab):
        return xyz_to_lab((lab_to_xyz(lab) @ channels * gains) @ np.linalg.inv(channels))

    return photograph


GAINS = {"picked": (0.08, 0.04), "photo": (0.06, 0.03)}
"""Relative errors of exposure and of each channel. Over the stones of these cards they come to about
what `ERRORS` states that a card's colours are off together; the test prints it."""


@dataclass
class Card:
    samples: list
    true: Coating
    off_together: list
    concentration: dict


def jitter(lab, normal, sd):
    """Return (N, 3) colours about `lab` (3,) with an error of `sd` CIEDE2000, root mean square.

    The error is shared evenly by lightness, chroma and hue; a step of chroma or hue counts less
    in a vivid colour, as CIEDE2000 has it (weights S_C and S_H without their small terms).
    """
    lightness, chroma, hue = lab_to_lch(lab)
    each = sd / 3.0**0.5
    weights = np.array([1.0, 1.0 + 0.045 * chroma, 1.0 + 0.015 * chroma])
    step = normal * each * weights
    turn = np.radians(hue)
    a = (chroma + step[:, 1]) * np.cos(turn) - step[:, 2] * np.sin(turn)
    b = (chroma + step[:, 1]) * np.sin(turn) + step[:, 2] * np.cos(turn)
    return np.stack([lightness + step[:, 0], a, b], axis=1)


def card(rng, stones, coating, source):
    """Return a card of these stones under a film, seen by a spoilt camera with its noise."""
    concentration = {
        one: max(0.0, 1.0 + palette().stones[one].body_spread * rng.normal()) for one in palette().stones
    }
    see = camera(rng, source)
    samples, off = [], []
    for one in stones:
        at = placed(one)
        real = glow(at, coating, concentration[one])
        lab = see(real)
        off.append(float(delta_e(real, lab)))
        lab = jitter(lab, rng.normal(size=(1, 3)), ERRORS[source][0])[0]
        samples.append(Sample(at, Sight("made", source, lab, None)))
    return Card(samples, coating, off, concentration)


def is_among(fitted, coating):
    """Say whether a film like the true one is left: nearest index, thickness within half a step or 2 %."""
    layer = coating.layers[0]
    index = refractive_index(layer.material, [550.0])[0].real
    every, kept = films(), fitted.kept
    off = np.abs(np.unique(every.index) - index).min()
    alike = np.abs(every.index[kept] - index) <= off + 1e-9
    near = np.abs(every.optical[kept] / (index * layer.nm) - 1.0) <= max(0.02, 1.3 / layer.nm)
    even = np.abs(every.evenness[kept] - coating.lay.evenness) <= 0.0626
    return bool((alike & near & even).any())
