"""Where stones lie on a photograph of a card: proposed, for a person to correct."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.colour.cielab import xyz_to_lab
from planner.optics.arrays import Floats
from planner.swatch.photo_file import Area, Picture

MOST: Final = 60
"""Most stones that are proposed."""

# Our choices, tried on rendered cards. Longer side, pixels, of the copy on which stones are looked for, and
# of the one from which the bare card is taken.
_SIDE: Final = 800
_COARSE: Final = 120
# Side of the window, of the coarse copy, in which most is bare card.
_WINDOW: Final = 31
# Difference from the bare card, in CIELAB, of what may be part of a stone.
_DIFFERENT: Final = 7.0
# Stones are round: shortest side to longest, and share of its box that one fills.
_ROUND: Final = 0.7
_FILLS: Final = (0.6, 0.92)
# Stones of one card are of about one size.
_ALIKE: Final = 1.8


def propose_stones(picture: Picture, white: Area) -> tuple[Area, ...]:
    """Return boxes round what seem to be stones, in rows from the top, each from the left.

    Round things of one size are looked for that differ from the card about them. A clear stone on white
    may look just like its card in even light, and is then not found.
    """
    from scipy import ndimage  # 0.1 s to import

    image = Image.fromarray(picture.rgb)
    image.thumbnail((_SIDE, _SIDE), Image.Resampling.BOX)
    lab = xyz_to_lab(picture.to_xyz(np.asarray(image)))
    mask = np.linalg.norm(lab - _bare(lab), axis=-1) > _DIFFERENT
    mask = ndimage.binary_fill_holes(ndimage.binary_closing(mask, iterations=2))
    mask = ndimage.binary_opening(mask, iterations=2)
    label, _ = ndimage.label(mask)
    across, down = picture.width / mask.shape[1], picture.height / mask.shape[0]
    boxes = [
        Area(round(x.start * across), round(y.start * down), round((x.stop - x.start) * across),
             round((y.stop - y.start) * down))
        for number, (y, x) in enumerate(ndimage.find_objects(label), 1)
        if _is_round(label[y, x] == number)
    ]  # fmt: skip
    boxes = [one for one in boxes if not _overlap(one, white)]
    return _in_rows(_of_one_size(boxes))[:MOST]


def _bare(lab: Floats) -> Floats:
    """Return what the card would look like without stones: the median of a wide window."""
    from scipy import ndimage

    high, wide = lab.shape[:2]
    step = max(1, round(max(high, wide) / _COARSE))
    coarse = ndimage.median_filter(lab[step // 2 :: step, step // 2 :: step], (_WINDOW, _WINDOW, 1))
    fine = [
        ndimage.zoom(coarse[..., axis], (high / coarse.shape[0], wide / coarse.shape[1]), order=1)
        for axis in range(3)
    ]
    return np.stack(fine, axis=-1)[:high, :wide]


def _is_round(mask: NDArray[np.bool_]) -> bool:
    high, wide = mask.shape
    low, top = _FILLS
    return min(high, wide) >= _ROUND * max(high, wide) and low <= mask.mean() <= top


def _overlap(one: Area, other: Area) -> bool:
    return (
        one.x < other.x + other.width and other.x < one.x + one.width
        and one.y < other.y + other.height and other.y < one.y + one.height
    )  # fmt: skip


def _of_one_size(boxes: list[Area]) -> list[Area]:
    """Return those of the commonest size: the one with most others about its own."""
    sizes = np.array([max(one.width, one.height) for one in boxes], float)
    if not len(sizes):
        return []
    ratio = np.maximum(sizes[:, None] / sizes, sizes / sizes[:, None])
    # Of equally many, the larger: specks are many, stones are not small.
    most = int(np.lexsort((sizes, (ratio <= _ALIKE).sum(axis=1)))[-1])
    return [one for one, near in zip(boxes, ratio[most] <= _ALIKE, strict=True) if near]


def _in_rows(boxes: list[Area]) -> tuple[Area, ...]:
    rows: list[list[Area]] = []
    for one in sorted(boxes, key=lambda box: box.y + box.height / 2):
        middle = one.y + one.height / 2
        if rows and middle < rows[-1][0].y + rows[-1][0].height:
            rows[-1].append(one)
        else:
            rows.append([one])
    return tuple(one for row in rows for one in sorted(row, key=lambda box: box.x))
