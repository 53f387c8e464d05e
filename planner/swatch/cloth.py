"""What the kind of its cloth makes of a swatch: its backing, its second colour, and how it turns."""

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.cloth import Backing, Cloth, ClothKind, Colour, angles, backings, lets_through
from planner.colour.cielab import appearance, xyz_to_lab
from planner.colour.names import name_of
from planner.colour.observer import illuminant
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.tristimulus import weights
from planner.refusal import InvalidValue
from planner.swatch.resolve import TYPED_UNCERTAINTY, SwatchColour, from_lab
from planner.swatch.spread import covariance_of

# Transmittances tried for the most that a sheer cloth of a given colour can let through.
_FINELY: Final = np.linspace(0.01, 0.99, 99)
# A reading is never so good that a cloth a little beyond the possible must be refused.
_SLACK: Final = 0.01
# Where on the line between its two colours a weave is seen, evenly: Gauss and Legendre, three points.
_SHARES, _WEIGHTS = np.polynomial.legendre.leggauss(3)


def of_cloth(colour: SwatchColour, cloth: Cloth | None) -> SwatchColour:
    """Return a swatch as its kind of cloth shows it where it is worn.

    Sheer cloth that was read over one thing and is worn over another takes the light of the new backing;
    a two-tone weave whose second colour is known becomes the mean of the two. Other kinds keep their
    colour: what they do depends on the lamps (see `turned`).

    Raises
    ------
    ValueError
        If cloth of that colour cannot let so much light through, or a colour is no cloth's.
    """
    if cloth is None:
        return colour
    colour = replace(colour, cloth=cloth)
    if colour.fluorescent and (cloth.read_over or cloth.second):
        raise InvalidValue(
            f"found a fluorescent {cloth.kind} cloth with {'read_over' if cloth.read_over else 'second'}; "
            "its light cannot be reckoned, so give its colour as it is worn"
        )
    if cloth.backing is not None and cloth.read_over is not None:
        return _over(colour, cloth, cloth.read_over, cloth.backing)
    if cloth.second is not None:
        return _woven(colour, cloth.second)
    return colour


def backing_called(backing: Backing | Colour) -> SwatchColour:
    """Return a backing, or any colour, as a swatch of its own."""
    if isinstance(backing, str) and not backing.startswith("#"):
        known, uncertainty = backings()[backing]
        return from_lab(known, uncertainty=uncertainty, how=backing.replace("-", " "))
    lab = srgb_to_lab(parse_hex(backing)) if isinstance(backing, str) else np.array(backing)
    return from_lab(lab, uncertainty=TYPED_UNCERTAINTY, how="a typed colour")


def cloth_words(colour: Backing | None) -> str:
    """Return a backing or a second colour in words: "fair skin", or the name of the colour."""
    if isinstance(colour, str) and not colour.startswith("#"):
        return colour.replace("-", " ")
    return "" if colour is None else name_of(backing_called(colour).lab)


def _over(colour: SwatchColour, cloth: Cloth, read: Backing, worn: Backing) -> SwatchColour:
    """Return sheer cloth over another backing, with what is unsure of the backing and the cloth."""
    below, behind = backing_called(read).reflectance, backing_called(worn)
    share, doubt = lets_through(cloth.lets_through)
    most = _most_through(colour.reflectance, below)
    if cloth.lets_through is not None and share > most + _SLACK:
        raise InvalidValue(
            f"found {100 * share:.0f} % of the light let through; a cloth that looks like this over its "
            f"first backing lets through at most {100 * most:.0f} %"
        )
    share = min(share, most)
    light = weights(illuminant("D65"))

    def seen(through: float, backing: NDArray[np.float64]) -> NDArray[np.float64]:
        return moved_over(colour.reflectance, below, backing, through)

    there = seen(share, behind.reflectance)
    lab = xyz_to_lab(there @ light)
    value, vector = np.linalg.eigh(covariance_of(behind.lab, behind.uncertainty))
    # As far as a colour of a surface goes: the brightest backings have none lighter.
    steps = -np.sqrt(np.maximum(value, 0.0))[:, None] * vector.T * np.sign(vector[0] + 1e-9)[:, None]
    others = [from_lab(behind.lab + step).reflectance for step in steps]
    changed = [seen(share, one) for one in others] + [seen(max(share - doubt, 0.01), behind.reflectance)]
    apart = np.array([xyz_to_lab(one @ light) - lab for one in changed])
    for array in (there, lab):
        array.setflags(write=False)
    return replace(colour, lab=lab, reflectance=there, beyond=apart.T @ apart)


def moved_over(
    seen: NDArray[np.float64], below: NDArray[np.float64], behind: NDArray[np.float64], through: float
) -> NDArray[np.float64]:
    """Return the reflectance of a sheer layer over another backing.

    A layer of reflectance r and transmittance t on a backing b sends back ``r + t² b / (1 - r b)``
    (G. G. Stokes, "On the intensity of the light reflected from or transmitted through a pile of plates",
    Proc. R. Soc. London 11, 545 (1862)). r is what makes it look as seen over the first backing.

    Parameters
    ----------
    seen, below, behind : ndarray, shape (n,)
        Reflectances, 0 to 1: cloth as read, what it then lay on, what it is worn over.
    through : float
        Transmittance of the layer for light that passes once, 0 to 1, the same for all light.
    """
    alone = np.clip(_alone(seen, below, through), 0.0, 1.0 - through)
    return np.asarray(alone + through**2 * behind / (1.0 - alone * behind))


def _alone(seen: NDArray[np.float64], below: NDArray[np.float64], through: float) -> NDArray[np.float64]:
    """Return the reflectance of the layer over nothing: the smaller root of Stokes's relation."""
    b = 1.0 + seen * below
    product = seen - through**2 * below
    root = np.sqrt(np.maximum(b * b - 4.0 * below * product, 0.0))
    return np.asarray(2.0 * product / (b + root))


def _most_through(seen: NDArray[np.float64], below: NDArray[np.float64]) -> float:
    """Return the largest transmittance with which a layer can look so and make no light of its own."""

    def possible(through: float) -> bool:
        alone = _alone(seen, below, through)
        return bool(alone.min() >= -_SLACK and alone.max() <= 1.0 - through + _SLACK)

    return max((float(one) for one in _FINELY if possible(one)), default=float(_FINELY[0]))


def _woven(colour: SwatchColour, second: Colour) -> SwatchColour:
    """Return the mean, in light, of a weave's two colours."""
    other = backing_called(second)
    ends = np.stack([colour.reflectance, other.reflectance])
    mean = ends.mean(axis=0)
    lab = xyz_to_lab(mean @ weights(illuminant("D65")))
    for array in (ends, mean, lab):
        array.setflags(write=False)
    # The mean of two independent errors.
    sure = float(np.hypot(colour.uncertainty, other.uncertainty)) / 2
    return replace(colour, lab=lab, reflectance=mean, ends=ends, recovered=True, uncertainty=sure)


def turned(
    colour: SwatchColour, kind: ClothKind, lamp: NDArray[np.float64], sheen: NDArray[np.float64],
    share: NDArray[np.float64],
) -> NDArray[np.float64]:  # fmt: skip
    """Return the covariance, (3, 3) in CIELAB after adaptation, of how the cloth itself changes.

    It is taken about the colour as read, so that a cloth which is lighter in every direction counts too.

    Parameters
    ----------
    colour : SwatchColour
    kind : ClothKind
    lamp : ndarray, shape (81, 3)
        Reflectance to XYZ in the venue's light, from `planner.colour.tristimulus.weights`.
    sheen : ndarray, shape (n,)
        What `sheen_at` gives as the cloth turns, averaged over the venue's lights.
    share : ndarray, shape (n,)
        How much of the time; adds up to 1.
    """
    white = lamp.sum(axis=0)
    lab = appearance(colour.reflectance @ lamp, white)
    found = np.diag([kind.lightness, kind.ab, kind.ab]) ** 2
    if colour.ends is not None:
        low, high = colour.ends @ lamp
        along = (1.0 + _SHARES[:, None]) / 2.0
        apart = appearance(low + along * (high - low), white) - lab
        return np.asarray((apart.T * _WEIGHTS / 2.0) @ apart)
    if kind.turns:
        xyz = colour.reflectance @ lamp
        changed = xyz * sheen[:, None] if kind.times else xyz + white * sheen[:, None]
        apart = appearance(np.maximum(changed, 0.0), white) - lab
        found = found + (apart.T * share) @ apart
    return np.asarray(found)


def sheen_at(kind: ClothKind, aspecular: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what a lamp makes of the cloth at angles (...) in degrees from its mirror direction.

    A multiple of its own light, or the white light added, as `kind` has it.
    """
    return np.interp(aspecular, angles(), kind.times or kind.adds)
