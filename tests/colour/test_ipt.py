"""IPT against a reference library, and what it is used for: blues that stay blue as they lose chroma."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference import colour

from planner.colour.cielab import lab_to_lch, lab_to_xyz
from planner.colour.everyday import word_of
from planner.colour.ipt import ipt_to_lab, lab_to_ipt
from planner.colour.screen import parse_hex, srgb_to_lab

labs = st.tuples(*[st.floats(low, high) for low, high in ((0, 100), (-80, 80), (-80, 80))]).map(np.array)


@given(labs)
def test_agrees_with_colour_science_and_turns_back(lab):
    assert lab_to_ipt(lab) == pytest.approx(colour.XYZ_to_IPT(lab_to_xyz(lab)), abs=2e-4)
    assert ipt_to_lab(lab_to_ipt(lab)) == pytest.approx(lab, abs=1e-6)


def test_a_screens_blue_stays_blue_on_its_way_to_grey_and_in_cielab_does_not():
    """A fact about CIELAB that its successors were made for (Ebner & Fairchild 1998)."""
    blue = srgb_to_lab(parse_hex("#0504aa"))
    duller = lab_to_ipt(blue) * [1.0, 0.45, 0.45]
    assert word_of(ipt_to_lab(duller))[0] == "blue"
    lch = lab_to_lch(ipt_to_lab(duller))
    assert lch[2] < lab_to_lch(blue)[2] - 10
