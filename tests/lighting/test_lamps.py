"""Lamps by kind: on the locus they claim, like the published ones, dimmed as filaments dim."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.catalogue import Spectrum, lamp_kinds
from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.observer import blackbody, daylight, illuminant
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.tables import read_table
from planner.colour.tristimulus import to_xyz, weights
from planner.lighting import dimmed_kelvin, lamp_spectrum, passed, spectrum_of, white_of
from planner.lighting.lamp import light_at_voltage

KINDS = sorted(lamp_kinds())


@given(st.sampled_from(KINDS), st.floats(0.0, 1.0))
@settings(max_examples=60, deadline=None)
def test_every_lamp_has_the_colour_temperature_it_is_asked_for(kind, place):
    least, most = lamp_kinds()[kind].kelvin
    kelvin = least + place * (most - least)
    power = lamp_spectrum(kind, kelvin)
    assert power.shape == (81,)
    assert (power >= 0).all()
    assert to_xyz(power)[1] == pytest.approx(1.0)
    found = white_of(power)
    # Blue daylight is up to 0.4 % off: the CIE rounds the weights of its components.
    assert found.kelvin == pytest.approx(kelvin, rel=5e-3 if kind == "daylight" else 2e-3)
    # Our models lie on the locus; daylight and tubes where the CIE put them.
    assert abs(found.duv) < (1e-5 if lamp_kinds()[kind].spectrum in {"filament", "phosphor"} else 0.0075)


def test_the_words_for_lamps_are_each_of_one_kind():
    words = [word.lower() for kind in lamp_kinds().values() for word in kind.words]
    assert len(words) == len(set(words))
    assert all(kind.kelvin[0] <= kind.usual <= kind.kelvin[1] for kind in lamp_kinds().values())


@pytest.mark.parametrize(
    ("kind", "name"),
    [*(("phosphor LED", f"LED-B{one}") for one in range(1, 6)), ("RGB LED", "LED-RGB1")],
)
def test_led_models_show_colours_as_the_published_leds_do(kind, name):
    """CIE 015:2018, LED-B1 to LED-B5 and LED-RGB1; the samples are those of CIE 13.3-1995."""
    published = illuminant(name)
    aim = white_of(published)
    model = lamp_spectrum(kind, aim.kelvin)
    table = read_table("test_colour_samples.csv")
    samples = np.stack([table[f"TCS{number:02d}"] for number in range(1, 15)])
    seen = [xyz_to_lab(samples @ weights(power), weights(power).sum(axis=0)) for power in (published, model)]
    apart = delta_e(*seen)
    found = white_of(model)
    ra = found.ra
    print(
        f"\n{name}, {aim.kelvin:.0f} K: Ra {aim.ra:.1f} published, {ra:.1f} ours; Duv {aim.duv:+.4f} "
        f"and {found.duv:+.4f}; 14 samples ΔE00 mean {apart.mean():.2f}, most {apart.max():.2f}"
    )
    assert ra == pytest.approx(aim.ra, abs=3.0)
    assert apart.mean() < 1.0


@pytest.mark.parametrize("name", ["FL1", "FL3", "FL4", "FL11", "FL12", "FL8", "LED-V2", "HP4"])
def test_a_lamp_at_a_members_temperature_is_that_member(name):
    kind = next(kind for kind, one in lamp_kinds().items() if name in one.members)
    least, most = lamp_kinds()[kind].kelvin
    kelvin = min(max(white_of(illuminant(name)).kelvin, least), most)
    # Ranges are rounded inwards, so an end may be a mixture with up to 1 % of its neighbour.
    assert lamp_spectrum(kind, kelvin) == pytest.approx(illuminant(name), abs=0.05)


def test_halogen_is_planckian_and_dims_by_the_published_exponents():
    """A. V. Arecchi, T. Messadi, R. J. Koshel, Field Guide to Illumination (2007): worked example.

    5 % over the rated current, 2900 K becomes 3015 K and 1040 lm becomes 1428 lm.
    """
    assert lamp_spectrum("halogen", 3200.0) == pytest.approx(blackbody(3200.0))
    assert lamp_spectrum("daylight", 5600.0) == pytest.approx(daylight(5600.0))
    assert dimmed_kelvin(2900.0, 1428 / 1040) == pytest.approx(3015, abs=2)
    # Voltage to the power 0.42: IES Lighting Handbook, Reference Volume (1984), from memory.
    assert dimmed_kelvin(3200.0, light_at_voltage(0.8)) == pytest.approx(3200 * 0.8**0.42, rel=2e-3)
    warmth = [white_of(lamp_spectrum("halogen", 3200.0, dim=dim)).kelvin for dim in (1.0, 0.7, 0.3, 0.05)]
    assert warmth == sorted(warmth, reverse=True)
    assert dimmed_kelvin(3200.0, 1e-9) == 1000.0


def test_an_led_keeps_its_colour_when_dimmed():
    assert np.array_equal(
        lamp_spectrum("phosphor LED", 4000.0, dim=0.2), lamp_spectrum("phosphor LED", 4000.0)
    )


COLOURS = st.tuples(*[st.integers(0, 255)] * 3).map(lambda rgb: "#" + bytes(rgb).hex())


@given(COLOURS.filter(lambda one: one != "#000000"), st.sampled_from(KINDS))
@settings(max_examples=60, deadline=None)
def test_a_filter_has_its_colour_in_the_lamps_own_light(colour, kind):
    bare = lamp_spectrum(kind)
    found = passed(bare, colour)
    transmittance = found.power * found.share / np.maximum(bare, 1e-300)
    assert transmittance[bare > 1e-6].min() >= 0.0
    assert transmittance[bare > 1e-6].max() <= 1.0 + 1e-9
    assert 0.0 < found.share <= 1.0
    wished = srgb_to_lab(parse_hex(colour)) * [1.0, found.chroma, found.chroma]
    # The luminance of a filter is its transmittance, up to what CAT16 makes of a coloured lamp.
    from planner.colour.adaptation import adapt

    seen = xyz_to_lab(adapt(found.share * to_xyz(found.power), to_xyz(bare)))
    assert delta_e(seen, wished) < 0.05


def test_a_lamp_may_be_set_to_a_colour():
    power = lamp_spectrum("RGB LED", colour="#ff8040")
    wished = lab_to_xyz(srgb_to_lab(parse_hex("#ff8040")))
    assert to_xyz(power) / to_xyz(power).sum() == pytest.approx(wished / wished.sum(), abs=1e-6)


def test_a_filter_by_table_multiplies():
    table = ((380.0, 0.0), (500.0, 0.0), (600.0, 0.8), (780.0, 0.8))
    found = passed(lamp_spectrum("halogen", 3200.0), table)
    assert 0.3 < found.share < 0.6
    assert found.power[:20] == pytest.approx(0.0)
    lamp = {"kind": "halogen", "kelvin": 3200, "filter": [list(row) for row in table]}
    assert spectrum_of(Spectrum(lamp=lamp)) == pytest.approx(found.power)
    plain = spectrum_of(Spectrum(lamp={"kind": "halogen", "kelvin": 3200, "dim": 0.5}))
    assert plain == pytest.approx(blackbody(dimmed_kelvin(3200.0, 0.5)))
