"""Colour for a screen: sRGB in and out (IEC 61966-2-1:1999), and what to show when it cannot be shown.

The matrix is derived from sRGB's primaries and the planner's own D65, so that CIELAB neutrals come
out exactly grey.

Chroma beyond the screen is reduced at constant CIELAB hue and L*, so the picture keeps the two
figures that the words beside it name. OKLab (B. Ottosson, "A perceptual color space for
image processing", 2020) was tried, since CIELAB turns a blue purple on its way to grey. Judged by
CAM16 over 14 000 colours between sRGB and Rec. 2020 it does worse: its hue strays by 2.1° in the
mean against CIELAB's 1.6°, among blues by 8.1° against 4.8°, and its L* by 1.0 against 0.1. It is
not made for the blues beyond a screen, which are half of our subject.
"""

import re
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.tristimulus import white_d65
from planner.refusal import InvalidValue

# Chromaticities x, y of sRGB's red, green and blue (IEC 61966-2-1:1999, table 1).
_PRIMARIES: Final = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])

# A channel this far outside 0..1 still rounds to 0 or 255.
_TOLERANCE: Final = 1e-4
# White itself may come out a hair above L* 100.
_ROUNDING: Final = 1e-9
# Halvings of the chroma: 2⁻¹⁰ of a chroma of 150 is a third of one step of 8 bits.
_HALVINGS: Final = 10
# Colours worked on at once: few enough to stay in the cache.
_BLOCK: Final = 4096

_HALFWAY = 0.179
"""Relative luminance at which black and white ink have the same contrast ratio (WCAG 2.1, 1.4.3)."""


def lab_to_srgb(lab: NDArray[np.float64]) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    """Return the nearest screen colour of the same hue, and whether it is the colour itself.

    Parameters
    ----------
    lab : ndarray, shape (..., 3)
        CIELAB under D65. L* outside 0–100 is shown as black or white.

    Returns
    -------
    rgb : ndarray of uint8, shape (..., 3)
    in_gamut : ndarray of bool, shape (...)
        False where chroma was reduced or L* cut: words must then say what the screen cannot show.
    """
    lightness = lab[..., :1]
    shown = np.concatenate([np.clip(lightness, 0.0, 100.0), lab[..., 1:]], axis=-1)
    linear = xyz_to_linear(lab_to_xyz(shown))
    outside = ~_fits(linear)
    if outside.any():
        linear[outside] = _reduce_chroma(shown[outside])
    rgb = np.rint(255.0 * linear_to_srgb(linear)).astype(np.uint8)
    return rgb, ~outside & (lightness[..., 0] >= 0.0) & (lightness[..., 0] <= 100.0 + _ROUNDING)


def _fits(linear: NDArray[np.float64]) -> NDArray[np.bool_]:
    return np.asarray(((linear >= -_TOLERANCE) & (linear <= 1.0 + _TOLERANCE)).all(axis=-1))


def _reduce_chroma(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return linear sRGB, shape (n, 3), of CIELAB colours at the largest chroma that fits."""
    result = np.empty_like(lab)
    for at in range(0, len(lab), _BLOCK):
        colours = lab[at : at + _BLOCK]
        share, step = np.zeros((len(colours), 1)), 0.5
        for _ in range(_HALVINGS):
            share += step * _fits(_at_share(colours, share + step))[:, None]
            step /= 2
        result[at : at + _BLOCK] = _at_share(colours, share)
    return result


def _at_share(lab: NDArray[np.float64], share: NDArray[np.float64]) -> NDArray[np.float64]:
    return xyz_to_linear(lab_to_xyz(np.concatenate([lab[:, :1], share * lab[:, 1:]], axis=1)))


def linear_to_srgb(linear: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return sRGB 0–1 of linear light, any shape, cut to 0–1; IEC 61966-2-1:1999, equation 6."""
    cut = np.clip(linear, 0.0, 1.0)
    return np.where(cut <= 0.0031308, 12.92 * cut, 1.055 * cut ** (1 / 2.4) - 0.055)


def srgb_to_linear(rgb: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return linear light of sRGB 0–1, any shape; the inverse of `linear_to_srgb`."""
    return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)


def xyz_to_linear(xyz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return linear sRGB of XYZ under D65, shape (..., 3), uncut: for pictures, which tone-map it."""
    return np.asarray(xyz @ _xyz_to_rgb().T)


def srgb_to_lab(rgb: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Return CIELAB under D65 of 8-bit sRGB, shape (..., 3)."""
    linear = srgb_to_linear(np.asarray(rgb) / 255.0)
    return xyz_to_lab(linear @ np.linalg.inv(_xyz_to_rgb()).T)


HEX: Final = re.compile(r"\s*#?(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})\s*")
"""What `parse_hex` reads."""


def parse_hex(text: str) -> NDArray[np.uint8]:
    """Return the 8-bit sRGB colour, shape (3,), of "#2a4b9c", "2a4b9c" or "#24c".

    Raises
    ------
    ValueError
        If `text` is none of these.
    """
    digits = text.strip().removeprefix("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    if len(digits) != 6 or not set(digits) <= set("0123456789abcdefABCDEF"):
        raise InvalidValue(
            f"A colour is written as six or three hexadecimal digits, such as #2a4b9c or #24c: "
            f"found '{text}'."
        )
    return np.frombuffer(bytes.fromhex(digits), dtype=np.uint8)


def to_hex(rgb: NDArray[np.uint8]) -> str:
    """Return "#2a4b9c" for one 8-bit sRGB colour, shape (3,)."""
    return "#" + "".join(f"{int(channel):02x}" for channel in rgb)


@cache
def _xyz_to_rgb() -> NDArray[np.float64]:
    """XYZ under D65, Y = 1, to linear sRGB: the primaries scaled to sum to white."""
    x, y = _PRIMARIES.T
    columns = np.stack([x / y, np.ones(3), (1 - x - y) / y])
    return np.asarray(np.linalg.inv(columns * np.linalg.solve(columns, white_d65())))


def ink_on(colour: str) -> str:
    """Return black or white, whichever is read better on "#rrggbb"."""
    luminance = float(srgb_to_linear(parse_hex(colour) / 255.0) @ [0.2126, 0.7152, 0.0722])
    return "#000000" if luminance > _HALFWAY else "#ffffff"
