"""From how far stones and cloth merge, against stones laid out on a square lattice."""

import numpy as np
import pytest

from planner.reading.field import ACUITY, HUE_ACUITY, merge_distances

DARK, LIGHT = np.array([30.0, 0.0, 0.0]), np.array([80.0, 0.0, 0.0])
MINUTE = np.pi / (180 * 60)


@pytest.mark.parametrize("apart", [1.0, 1.5, 2.0, 5.0])
def test_stones_merge_where_their_pitch_covers_as_little_as_the_eye_tells_apart(apart):
    """Stones of 4.7 mm on a square lattice, `apart` diameters from centre to centre: one disc a square."""
    pitch = 4.7 * apart
    hidden = np.pi / 4 * 4.7**2 / pitch**2
    merge, merge_hue = merge_distances(DARK, LIGHT, 4.7, hidden)
    assert merge == pytest.approx(1e-3 * pitch / (ACUITY * MINUTE))
    assert merge_hue == pytest.approx(1e-3 * pitch / (HUE_ACUITY * MINUTE))


def test_a_quarter_of_the_cover_carries_twice_as_far():
    near, far = (merge_distances(DARK, LIGHT, 4.7, cover)[0] for cover in (0.6, 0.15))
    assert far == pytest.approx(2 * near)


def test_what_hardly_differs_in_lightness_or_lies_nowhere_merges_at_once():
    assert merge_distances(DARK, DARK, 4.7, 0.5)[0] == 0.0
    assert merge_distances(DARK, LIGHT, 4.7, 0.0) == (0.0, 0.0)
