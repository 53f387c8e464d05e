"""Stone sizes against the published chart in shared/stone_sizes.csv (its sources are named there)."""

import pytest

from planner.catalogue import size, sizes


@pytest.mark.parametrize("spelling", ["SS20", "ss20", "20ss", "SS 20", " 20SS "])
def test_spellings(spelling):
    assert size(spelling).name == "SS20"


def test_published_millimetres():
    # Size-reference pages, as in the chart: SS20 is 4.6 to 4.8 mm; SS40 has a nominal value only.
    assert (size("SS20").min_mm, size("SS20").max_mm, size("SS20").nominal_mm) == (4.6, 4.8, 4.7)
    assert (size("SS40").min_mm, size("SS40").nominal_mm) == (None, 8.6)
    assert size("SS5").nominal_mm == pytest.approx(1.8)


def test_sizes_rise_and_nominal_lies_in_range():
    diameters = [one.nominal_mm for one in sizes().values()]
    assert diameters == sorted(diameters)
    assert len(diameters) == len(set(diameters)) >= 35
    for one in sizes().values():
        assert one.min_mm is None or one.min_mm <= one.nominal_mm <= one.max_mm


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("SS18", "SS16 and SS20"),
        ("SS41", "SS40 and SS42"),
        ("SS90", "nearest known is SS48"),
        ("20", "SS and a number"),
        ("", "SS and a number"),
        ("SS4444", "SS and a number"),
        ("4.7 mm", "SS and a number"),
    ],
)
def test_an_unknown_size_is_one_sentence(name, expected):
    with pytest.raises(ValueError, match="found") as caught:
        size(name)
    assert expected in str(caught.value)
    assert "\n" not in str(caught.value)
