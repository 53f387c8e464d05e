"""Areas take stones from lines that have names."""

import pytest

from planner.job import Area, Job, Line


def test_a_mix_of_a_line_without_a_name_says_how_it_gets_one():
    area = Area(name="Bodice", shape="rectangle", width_cm=30, height_cm=25, pattern="scatter",
                spacing_mm=9, mix={"front": 1})  # fmt: skip
    with pytest.raises(ValueError, match='a line gets one by name = "front"'):
        Job(
            title="Gown", swatch="a01830", venues=("theatre",), areas=(area,),
            lines=(Line(stone="shackle-red", size="SS20"),),
        )  # fmt: skip
