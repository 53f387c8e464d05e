"""Stone sizes: their spellings, their order, and what is said of one that is not in use."""

import pytest

from planner.catalogue import size, sizes


@pytest.mark.parametrize("spelling", ["SS20", "ss20", "20ss", "SS 20", " 20SS "])
def test_spellings(spelling):
    assert size(spelling).name == "SS20"


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
