"""How far a colour read off a photograph may be off: the camera, the white paper, the card.

The figures, and where they come from, stand in ``shared/photo_errors.toml``.
"""

import tomllib
from functools import cache
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from planner.data import shared

Light = Literal["daylight", "lamps", "unknown"]
"""What lit the photograph."""

_LEAST_LIGHTNESS: Final = 0.7


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(shared("photo_errors.toml").read_text(encoding="utf-8"))


def said_of(light: Light) -> str:
    """Return the light in words: "in daylight"."""
    return str(_table()["light"][light]["says"])


def camera_covariance(lab: NDArray[np.float64], light: Light) -> NDArray[np.float64]:
    """Return the covariance of CIELAB, shape (3, 3), that a camera of unknown make leaves.

    Its sensitivities are not the eye's, its maker likes contrast and colour, and its white balance is
    a guess that paper mends only in part.

    Parameters
    ----------
    lab : ndarray, shape (3,)
    light : str
    """
    turn, sd = camera_errors(lab, light)
    return np.asarray(turn @ np.diag(sd) ** 2 @ turn.T)


def camera_errors(lab: NDArray[np.float64], light: Light) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the directions of lightness, chroma and hue, shape (3, 3), and the camera's error along each.

    Parameters
    ----------
    lab : ndarray, shape (3,)
    light : str
    """
    figures = _table()["light"][light]
    chroma = float(np.hypot(lab[1], lab[2]))
    lightness = max(_LEAST_LIGHTNESS, _grown(figures["lightness"], 100.0 - float(lab[0])))
    along, across = _grown(figures["chroma"], chroma), _grown(figures["hue"], chroma)
    hue = np.arctan2(lab[2], lab[1])
    turn = np.array([[1.0, 0.0, 0.0], [0.0, np.cos(hue), -np.sin(hue)], [0.0, np.sin(hue), np.cos(hue)]])
    return turn, np.array([lightness, along, across])


def _grown(pair: list[float], by: float) -> float:
    return pair[0] + pair[1] * by


def paper(light: Light) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return CIELAB of white paper as daylight would show it, shape (3,), and its covariance (3, 3).

    A brightener turns ultraviolet into blue, so paper is bluer than it reflects, by how much depends
    on the lamp: its share is drawn about the light's usual one.
    """
    figures = _table()["paper"]
    dark, bright = np.array(figures["dark"]), np.array(figures["bright"])
    share, spread = _table()["light"][light]["brightener"]
    along = (bright - dark) * spread
    own = np.diag([figures["lightness"], figures["ab"], figures["ab"]]) ** 2
    return dark + share * (bright - dark), np.outer(along, along) + own


def card(reflectance: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return CIELAB of a neutral card of this reflectance (0 to 1), shape (3,), and its covariance."""
    figures = _table()["card"]
    lightness = 116.0 * reflectance ** (1 / 3) - 16.0 if reflectance > 0.008856 else 903.3 * reflectance
    return np.array([lightness, 0.0, 0.0]), np.diag([figures["lightness"], figures["ab"], figures["ab"]]) ** 2
