"""Where on a photograph the cloth and the white reference are: proposed, for a person to correct."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.colour.cielab import xyz_to_lab
from planner.refusal import InvalidValue
from planner.swatch.photo_file import Area, Picture

# The picture is looked at in cells of _CELL × _CELL pixels of a copy whose longer side is _SIDE.
_SIDE: Final = 240
_CELL: Final = 5

# What may be white paper: nearly the lightest, hardly coloured, even, not burnt out (our choice). Lamps
# that the camera did not balance tint brightened paper by C* 20 and more.
_WHITE_LEAST: Final = 0.7
_WHITE_LEASTS: Final = (0.92, 0.85, 0.77)
_WHITE_CHROMA: Final = 30.0
_WHITE_SCATTER: Final = 3.0
_BURNT: Final = 250
# Luminance up to which the lightest even thing is no paper if something burnt out lies beside it: paper
# returns four times the light of a dull table, and a camera does not put it lower than that (our choice).
_DULL: Final = 0.4
# Cells of one cloth lie this near its typical colour in CIELAB; cloth is this far from the paper.
_ONE_CLOTH: Final = 12.0
_NOT_WHITE: Final = 12.0
# Part of a found rectangle's side that is left out at each edge, where fringes and shadows lie.
_MARGIN: Final = 0.12
_LEAST_CELLS: Final = 4
_SURE_CELLS: Final = 20


def propose(picture: Picture) -> tuple[Area, Area]:
    """Return where the cloth and the white reference seem to be.

    Raises
    ------
    ValueError
        If no white reference, or no cloth beside it, can be made out.
    """
    lab, scatter, highest = _cells(picture)
    white = _white(lab, scatter, highest)
    at = lab[_inside(white)].reshape(-1, 3)
    far = np.linalg.norm(lab - np.median(at, axis=0), axis=-1) > _NOT_WHITE
    middle = np.zeros_like(far)
    high, wide = far.shape
    middle[high // 5 : high - high // 5, wide // 5 : wide - wide // 5] = True
    near = far & middle if (far & middle).any() else far
    if not near.any():
        raise InvalidValue("found no cloth beside the white on the picture; mark it with --cloth x,y,w,h")
    cloth = _largest_cloth(lab, far, near)
    if cloth is None:
        raise InvalidValue("found no even piece of cloth on the picture; mark it with --cloth x,y,w,h")
    return _on_picture(cloth, far.shape, picture), _on_picture(white, far.shape, picture)


def propose_white(picture: Picture) -> Area:
    """Return where the white reference seems to be, whatever else is on the picture.

    Raises
    ------
    ValueError
        If none can be made out.
    """
    lab, scatter, highest = _cells(picture)
    # The lightest plain thing that is large enough: a light card is not to be taken for the paper on it.
    for least in _WHITE_LEASTS:
        found = _largest(_whitish(lab, scatter, highest, least))
        if found is not None and found[2] * found[3] >= _SURE_CELLS:
            return _on_picture(found, scatter.shape, picture)
    return _on_picture(_white(lab, scatter, highest), scatter.shape, picture)


def _white(
    lab: NDArray[np.float64], scatter: NDArray[np.float64], highest: NDArray[np.uint8]
) -> tuple[int, int, int, int]:
    found = _largest(_whitish(lab, scatter, highest))
    if found is None:
        raise InvalidValue("found no plain white paper on the picture; mark it with --white x,y,w,h")
    return found


def _cells(
    picture: Picture,
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.uint8]]:
    """Return mean CIELAB (h, w, 3), scatter of L* (h, w) and highest channel (h, w) of every cell."""
    image = Image.fromarray(picture.rgb)
    image.thumbnail((_SIDE, _SIDE), Image.Resampling.BOX)
    small = np.asarray(image)
    high, wide = small.shape[0] // _CELL, small.shape[1] // _CELL
    small = small[: high * _CELL, : wide * _CELL]
    lab = xyz_to_lab(picture.to_xyz(small)).reshape(high, _CELL, wide, _CELL, 3)
    top = small.reshape(high, _CELL, wide, _CELL, 3).max(axis=(1, 3, 4))
    return lab.mean(axis=(1, 3)), lab[..., 0].std(axis=(1, 3)), top


def _whitish(
    lab: NDArray[np.float64], scatter: NDArray[np.float64], highest: NDArray[np.uint8],
    least: float = _WHITE_LEAST,
) -> NDArray[np.bool_]:  # fmt: skip
    luminance = ((lab[..., 0] + 16.0) / 116.0) ** 3
    fair = (np.hypot(lab[..., 1], lab[..., 2]) < _WHITE_CHROMA) & (scatter < _WHITE_SCATTER)
    even = fair & (highest < _BURNT)
    # Burnt-out paper is still the paper; saying so later helps more than finding none, or than taking
    # the dull table under it for paper.
    burnt = fair & ~even
    if even.sum() < _LEAST_CELLS:
        even = fair
    elif np.quantile(luminance[even], 0.95) < _DULL and _largest(burnt) is not None:
        even = burnt
    if not even.any():
        return even
    return np.asarray(even & (luminance > least * np.quantile(luminance[even], 0.95)))


def _largest_cloth(
    lab: NDArray[np.float64], far: NDArray[np.bool_], near: NDArray[np.bool_]
) -> tuple[int, int, int, int] | None:
    """Return the largest rectangle of one colour that is not the white, from the middle outwards."""
    typical = np.median(lab[near], axis=0)
    # The cell nearest the median is a real colour even where two cloths share the middle.
    typical = lab[near][np.linalg.norm(lab[near] - typical, axis=-1).argmin()]
    return _largest(far & (np.linalg.norm(lab - typical, axis=-1) < _ONE_CLOTH))


def _largest(mask: NDArray[np.bool_]) -> tuple[int, int, int, int] | None:
    """Return top, left, height, width of the largest rectangle of true cells; None if too small."""
    best, area = None, _LEAST_CELLS - 1
    heights = np.zeros(mask.shape[1], dtype=np.intp)
    for row in range(mask.shape[0]):
        heights = np.where(mask[row], heights + 1, 0)
        for left in range(len(heights)):
            lowest = np.minimum.accumulate(heights[left:])
            areas = lowest * np.arange(1, len(lowest) + 1)
            at = int(areas.argmax())
            if areas[at] > area:
                area, high = int(areas[at]), int(lowest[at])
                best = (row - high + 1, left, high, at + 1)
    return best


def _inside(rectangle: tuple[int, int, int, int]) -> tuple[slice, slice]:
    top, left, high, wide = rectangle
    return slice(top, top + high), slice(left, left + wide)


def _on_picture(rectangle: tuple[int, int, int, int], cells: tuple[int, ...], picture: Picture) -> Area:
    top, left, high, wide = rectangle
    across, down = picture.width / cells[1], picture.height / cells[0]
    inset_x, inset_y = _MARGIN * wide, _MARGIN * high
    return Area(
        round((left + inset_x) * across), round((top + inset_y) * down),
        max(1, round((wide - 2 * inset_x) * across)), max(1, round((high - 2 * inset_y) * down)),
    )  # fmt: skip
