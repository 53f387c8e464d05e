"""Cautions: who wears it, what stones and cloth are, where a stone may fall."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.catalogue import load, sizes
from planner.cover.practice import pace
from planner.data import demo
from planner.fixing import CODES, accepting, advice, cautions, wearer_cautions
from planner.fixing.advice import glue_ml
from planner.fixing.practice import SMALL_PARTS_MM, practice, suits, titles
from planner.job import Acceptance, Area, Job, Line
from planner.job.model import Fibre

PALETTE = load(demo())
LEAD = Line(stone="grommet-clear", size="SS16", name="lead")
GLASS = Line(stone="pulley-blue", size="SS20", name="glass")
ACRYLIC = Line(stone="toggle-clear", size="SS48", name="acrylic")
UNFOILED = Line(stone="pelmet-clear", size="SS20", name="unfoiled")
MOTIF = Area(name="m", shape="circle", pattern="motif", mix=(("glass", 100.0), ("acrylic", 10.0)))


def job(*lines, **more):
    return Job(**({"title": "x", "swatch": "#204080", "venues": ("rink",), "lines": lines} | more))


def codes(found, severity=None):
    return [one.code for one in found if severity in (None, one.severity)]


def test_every_stone_fits_the_small_parts_cylinder():
    # 16 CFR Part 1501, figure 1 (from memory): 31.7 mm across, 25.4 to 57.1 mm deep. No SS size comes near.
    assert SMALL_PARTS_MM == 31.7
    assert max(one.max_mm or one.nominal_mm for one in sizes().values()) < 25.4


def test_for_a_child_under_3_stones_and_lead_are_severe_and_nobody_can_accept_them():
    line = LEAD.model_copy(
        update={"accept": tuple(Acceptance(code=code, who="Ada", why="Only once.") for code in CODES)}
    )
    found = wearer_cautions(job(line, GLASS, wearer="under 3"), PALETTE)
    assert codes(found, "severe") == ["small-parts-under-3", "lead-under-3"]
    assert [one.lines for one in found[:2]] == [(1, 2), (1,)]
    assert all(one.final and accepting(one, line) is None for one in found[:2])
    assert "31.7 mm" in found[0].text
    assert "16 CFR Part 1501" in found[0].do


@pytest.mark.parametrize("count", [1, 2, 6, 7])
def test_of_many_stones_six_are_named_and_the_others_counted(count):
    of_lead = [one for one in PALETTE.stones.values() if one.material == "lead crystal"][:count]
    assert len(of_lead) == count
    lines = [Line(stone=one.id, size=one.sizes[0]) for one in of_lead]
    found = next(one for one in wearer_cautions(job(*lines, wearer="12 or younger"), PALETTE)
                 if one.code == "lead-12-or-younger")  # fmt: skip
    named = [one.name for one in of_lead if one.name in found.text]
    assert len(named) == min(count, 6)
    assert (f" and {count - 6} more" in found.text) == (count > 6)
    assert (" more" in found.text) == (count > 6)


def test_for_a_child_of_12_or_younger_lead_is_severe_and_can_be_accepted_by_name():
    line = LEAD.model_copy(
        update={"accept": (Acceptance(code="lead-12-or-younger", who="Ada", why="Seen."),)}
    )
    other = LEAD.model_copy(update={"name": "other"})
    found = wearer_cautions(job(line, other, GLASS, wearer="12 or younger"), PALETTE)
    assert codes(found, "severe") == ["lead-12-or-younger"]
    assert found[0].lines == (1, 2)
    assert accepting(found[0], line).who == "Ada"
    assert accepting(found[0], other) is None
    assert codes(found)[1:] == ["ask-lead-and-cadmium", "small-parts-12-or-younger"]


def test_an_adult_is_told_of_lead_and_no_more():
    # Lead crystal holds lead, machine-cut glass none to speak of: common practice, no source.
    assert codes(wearer_cautions(job(LEAD, GLASS), PALETTE)) == ["lead-handled"]
    assert codes(wearer_cautions(job(LEAD, GLASS, use=("touch",)), PALETTE)) == ["lead-touched"]
    assert wearer_cautions(job(GLASS), PALETTE) == ()


@given(
    st.sampled_from(["adult", "12 or younger", "under 3"]),
    st.sets(st.sampled_from(["touch", "wash", "ice", "floor", "above people"])),
    st.sampled_from(Fibre.__args__),
    st.sampled_from(["glue", "hot-fix"]),
    st.lists(st.sampled_from([LEAD, GLASS, ACRYLIC, UNFOILED]), unique=True),
)
def test_every_job_is_told_its_cautions_gravest_first_and_without_gaps(wearer, use, fibre, fixing, lines):
    one = job(*lines, wearer=wearer, use=tuple(use), fibre=fibre, fixing=fixing)
    found = cautions(one, PALETTE)
    assert len({each.code for each in found}) == len(found)
    order = ["severe", "caution", "note"]
    assert [order.index(each.severity) for each in found] == sorted(order.index(e.severity) for e in found)
    assert all("{" not in each.text + each.do and each.code in CODES for each in found)
    assert bool(found) == bool(lines)
    if lines:
        assert {"load-bearing", "flame-rules", "flashing-light", "scrap-first", "rules-first"} <= set(
            codes(found)
        )
        assert ("shed-above-people" in codes(found)) == ("above people" in use)
        assert ("solvent-glue" in codes(found)) == (fixing == "glue")
        assert ({"hot-tool", "hot-fumes"} <= set(codes(found))) == (fixing == "hot-fix")
        assert ("shed-on-ice" in codes(found)) == ("ice" in use)
        assert ("shed-on-floor" in codes(found)) == ("floor" in use)
        if wearer == "under 3":
            assert found[0].code == "small-parts-under-3"


def test_the_solvent_caution_defers_to_the_safety_data_sheet():
    # Glues for stones hold solvents, which take foil off the back: common practice, no source.
    found = {one.code: one for one in cautions(job(GLASS, UNFOILED), PALETTE)}
    assert "safety data sheet" in found["solvent-glue"].do
    assert "gloves" in found["solvent-glue"].do
    assert found["solvent-foil"].lines == (1,)
    assert found["no-foil"].lines == (2,)
    assert "local rules" in found["rules-first"].do


@pytest.mark.parametrize("fibre", ["elastane", "acrylic", "imitation leather"])
def test_cloth_that_melts_is_not_for_hot_fix(fibre):
    # Common practice, no source.
    assert suits("hot-fix", fibre)[0] == "no"
    assert "cloth-melts" in codes(cautions(job(GLASS, fibre=fibre, fixing="hot-fix"), PALETTE))
    assert "cloth-melts" not in codes(cautions(job(GLASS, fibre=fibre), PALETTE))


def test_cotton_takes_both():
    # Common practice, no source.
    assert suits("hot-fix", "cotton")[0] == suits("glue", "cotton")[0] == "yes"
    assert "cloth-melts" not in codes(cautions(job(GLASS, fibre="cotton", fixing="hot-fix"), PALETTE))


def test_every_fibre_has_advice_and_every_code_its_sentences():
    assert set(practice()["fibre"]) == set(Fibre.__args__)
    assert set(practice()["caution"]) == set(CODES)
    for fibre in Fibre.__args__:
        for fixing in ("glue", "hot-fix"):
            answer, says = suits(fixing, fibre)
            assert answer in {"yes", "with care", "no"}
            assert says.endswith(".")


def test_rules_are_named_by_title():
    assert "REACH Annex XVII entry 63" in titles("lead")
    assert "section 101" in titles("lead")


def test_advice_counts_stones_glue_and_hours():
    glass, acrylic, spare = advice(job(GLASS, ACRYLIC, UNFOILED, areas=(MOTIF,), fibre="cotton"), PALETTE)
    assert (glass.line, glass.stones, glass.suits) == (1, 100, "yes")
    assert (acrylic.stones, acrylic.suits) == (10, "with care")
    assert (spare.stones, spare.hours) == (0, (0.0, 0.0))
    assert glass.hours == (100 / pace("glue").fast, 100 / pace("glue").slow)
    # A back of 4.7 mm across under 0.15 mm of glue is 2.6 µl; half as much again is wasted.
    assert glass.glue_ml[0] == pytest.approx(100 * 2.602e-3 * 1.5, rel=1e-3)
    assert glass.glue_ml == glue_ml(100, "SS20")


def test_hot_fix_carries_its_own_glue_and_is_nothing_for_acrylic_stones():
    glass, acrylic = advice(job(GLASS, ACRYLIC, fixing="hot-fix", fibre="cotton"), PALETTE)
    assert glass.glue_ml is None
    assert (glass.suits, acrylic.suits) == ("yes", "no")


def test_stretched_areas_want_a_flexible_glue():
    stretched = MOTIF.model_copy(update={"stretch": 1.3})
    assert "stretches" in codes(cautions(job(GLASS, ACRYLIC, areas=(stretched,)), PALETTE))
    assert "stretches" not in codes(cautions(job(GLASS, ACRYLIC, areas=(MOTIF,)), PALETTE))


def test_what_holds_a_person_is_left_alone_and_the_rigger_asked():
    # Common practice, no source: solvent, heat and holes weaken synthetic webbing.
    found = {one.code: one for one in cautions(job(GLASS, use=("above people",)), PALETTE)}
    for word in ("webbing", "stitching", "buckles", "harness", "straps", "olvent", "heat"):
        assert word in found["load-bearing"].text
    assert "licensed rigger" in found["load-bearing"].do
    assert found["shed-above-people"].severity == "severe"
    assert codes(cautions(job(GLASS, use=("above people",)), PALETTE))[0] == "shed-above-people"


def test_cadmium_is_asked_for_beside_lead_and_of_acrylic_too():
    # Commission Regulation (EU) 494/2011 on cadmium (REACH Annex XVII entry 23) and 16 CFR 1303 on lead in
    # paint (both from memory): either may be in glass, and in the paints and foils of acrylic.
    for wearer in ("under 3", "12 or younger"):
        found = {one.code: one for one in cautions(job(GLASS, ACRYLIC, wearer=wearer), PALETTE)}
        assert found["ask-lead-and-cadmium"].lines == (1, 2)
        assert all(
            word in found["ask-lead-and-cadmium"].text for word in ("lead", "cadmium", "paints", "foils")
        )


def test_fumes_flame_and_flashing_light_defer_to_who_decides():
    # Hot glue fumes, costumes answer to fire rules, flashes bring on seizures: common practice, no source.
    found = {one.code: one for one in cautions(job(GLASS, fixing="hot-fix", fibre="polyester"), PALETTE)}
    assert "safety data sheet" in found["hot-fumes"].do
    assert "local fire rules" in found["flame-rules"].do
    assert "venue" in found["flame-rules"].do
    assert "seizure" in found["flashing-light"].text


def test_glass_coloured_with_cadmium_is_told_of():
    # Cadmium colours red, orange and yellow glass: W. A. Weyl, Coloured Glasses (1951), from memory.
    held = [one for one in PALETTE.stones.values() if any("cadmium" in name for name in one.colourants or ())]
    line = Line(stone=held[0].id, size=held[0].sizes[0], name="warm")
    assert "cadmium-handled" in codes(wearer_cautions(job(line, GLASS), PALETTE))
