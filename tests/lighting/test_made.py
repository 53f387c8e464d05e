"""Venues in plain words: what is understood, in any order, and what is refused in one sentence."""

from itertools import permutations

import pytest

from planner.colour.observer import illuminant
from planner.lighting import spectrum_of, white_of
from planner.lighting.made import made
from planner.lighting.places import floors, positions, surrounds
from planner.lighting.words import lamp_in_words
from planner.refusal import Refusal


def hall(*lamps, surround="dim", floor="pale wood", **more):
    return made("Hall", lamps, surround=surround, floor=floor, distance=12.0, **more)


def test_the_order_of_words_is_free():
    parts = ("halogen", "3200 K", "overhead array", "400 lx", "at 70 %", "filter #ff8800")
    said = {lamp_in_words(" ".join(order)) for order in permutations(parts)}
    assert len(said) == 1
    one = said.pop()
    assert (one.kind, one.kelvin, one.position, one.lux) == ("halogen", 3200.0, "overhead array", 400.0)
    assert (one.dim, one.filter) == (0.7, "#ff8800")


@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("LED 1,500 lx", "lux", 1500.0),
        ("LED 62,5 lx", "lux", 62.5),
        ("LED dimmed by 30 %", "dim", 0.7),
        ("12 lamps of LED", "number", 12),
        ("LED x3", "number", 3),
        ("LED share 40 %", "share", 0.4),
        ("FL3.12 overhead rows", "illuminant", "FL3.12"),
        ("illuminant A front", "illuminant", "A"),
        ("white LED from the left", "position", "left"),
        ("full-spectrum LED", "kind", "violet-pumped LED"),
        ("RGB LED set to #3050FF", "colour", "#3050ff"),
        ("LED azimuth -40", "angles", (("azimuth", -40.0),)),
    ],
)
def test_one_thing_understood(text, field, value):
    assert getattr(lamp_in_words(text), field) == value


def test_a_made_venue_says_what_filters_and_dimming_leave():
    found = hall("halogen 3200 sides 400 lx at 50 % filter #ff8800")
    left, right = found.venue.lights
    assert (left.azimuth, right.azimuth) == (-85.0, 85.0)
    assert left.lux == right.lux < 100.0
    assert "400 lx at full and without a filter become" in found.notes[0]
    assert hall("halogen 3200 left 400 lx at 50 % metered").venue.lights[0].lux == 400.0
    assert found.venue.basis == "estimated"
    assert found.venue.surround.spectrum == left.spectrum


def test_shares_part_the_light_of_all_lamps():
    found = hall("halogen 3200 front share 70 %", "LED 5600 overhead", total=1000.0)
    assert [one.lux for one in found.venue.lights] == pytest.approx([700.0, 300.0])


def test_volts_dim_far_more_than_light():
    by_light, by_volts = hall("halogen front 400 lx 80 %"), hall("halogen front 400 lx 80 % volts")
    assert by_light.venue.lights[0].lux == pytest.approx(320.0)
    # Field Guide to Illumination (2007), see shared/filament_dimming.toml: light goes with volts^3.42.
    assert by_volts.venue.lights[0].lux == pytest.approx(400 * 0.8**3.42, rel=1e-2)
    # IES Lighting Handbook, Reference Volume (1984), from memory: temperature goes with volts^0.42.
    warmth = white_of(spectrum_of(by_volts.venue.lights[0].spectrum)).kelvin
    assert warmth == pytest.approx(3200 * 0.8**0.42, rel=3e-3)


def test_a_measured_lamp_and_a_filter_in_front_of_an_illuminant(tmp_path):
    path = tmp_path / "our lamp.csv"
    nm = range(380, 781, 5)
    path.write_text("\n".join(f"{a};{b:.5f}" for a, b in zip(nm, illuminant("LED-B3"), strict=True)))
    light = hall(f'"{path}" front 300 lx').venue.lights[0]
    assert spectrum_of(light.spectrum) == pytest.approx(illuminant("LED-B3"), abs=1e-3)
    red = hall("D65 front 100 lx gel #ff0000").venue.lights[0]
    assert white_of(spectrum_of(red.spectrum)).ra is None
    assert 15.0 < red.lux < 30.0


def test_every_word_of_the_tables_can_be_said():
    for name, place in positions().items():
        for word in place.words:
            assert lamp_in_words(f"LED {word}").position == name
    for word in surrounds():
        assert hall("LED front 10 lx", surround=word).venue.surround.lux == surrounds()[word]
    for word in floors():
        assert hall("LED front 10 lx", floor=word).venue.floor.reflectance == floors()[word]["reflectance"]


def test_a_floor_is_named_by_its_colour_alone():
    for word in ("black", "white", "grey"):
        known = floors()[f"{word} floor"]["reflectance"]
        assert hall("LED front 10 lx", floor=word).venue.floor.reflectance == known


def test_floor_and_surround_by_figures():
    found = hall("LED front 10 lx", floor="#808080", surround="40 lx daylight 6500").venue
    assert found.floor.reflectance == pytest.approx(0.216, abs=0.001)
    assert (found.surround.lux, found.surround.spectrum.daylight) == (40.0, 6500.0)
    assert hall("LED front 10 lx", floor="0,35").venue.floor.reflectance == 0.35


@pytest.mark.parametrize(
    ("lamps", "more", "words"),
    [
        (["halogen frnt 400 lx"], {}, ('"frnt"', "not understood", 'did you mean "front"')),
        (["laser front 20 lx"], {}, ('"laser"', "phosphor LED", "followspot")),
        (["front 20 lx"], {}, ("no kind", "halogen")),
        (["halogen LED front 20 lx"], {}, ('"halogen" and "led"', "one kind")),
        (["halogen D65 front 20 lx"], {}, ('"halogen" and "D65"', "one or the other")),
        (["D65 3200 K front 20 lx"], {}, ("3200 K", "leave one out")),
        (["LED 9000 front 20 lx"], {}, ("9000", "2400 to 8000 K")),
        (["LED -4000 K front 20 lx"], {}, ("-4000", "at least 1000")),
        (["LED front -20 lx"], {}, ("-20", "above 0")),
        (["LED front 0 lx"], {}, ("0", "above 0")),
        (["LED front 20 lx 30 lx"], {}, ('"20 lx" and "30 lx"', "one illuminance")),
        (["LED front 20 lx 120 %"], {}, ("120", "at most 100")),
        (["LED front 20 lx dimmed by 100 %"], {}, ("no light",)),
        (["LED front share 70 %", "tube front share 60 %"], {"total": 100.0}, ("130 %",)),
        (["LED front 20 lx"], {"total": 100.0}, ("one or the other",)),
        (["LED front 1.000.5 lx"], {}, ("1.000.5", "one decimal point")),
        (["LED front 20 lx"], {"surround": "murky"}, ('"murky"', "half lit")),
        (["LED front 20 lx"], {"floor": "lava"}, ('"lava"', "pale wood")),
        (["LED front 20 lx"], {"floor": "1.5"}, ('"1.5"', "0 to 1")),
        (["LED elevation 95 20 lx"], {}, ("95", "elevation")),
        (["nowhere.csv front 20 lx"], {}, ("nowhere.csv", "no such file")),
        (["LED filter #000000 front 20 lx"], {}, ("#000000", "nothing through")),
        ([], {"surround": "bright"}, ("no lamp at all", "daylight 6500")),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(lamps, more, words):
    with pytest.raises(Refusal, match=r"found|not understood|no such|say ") as refused:
        hall(*lamps, **more)
    assert "\n" not in str(refused.value)
    for word in words:
        assert word in str(refused.value)


@pytest.mark.parametrize("tube", ["tubes", "old tubes", "FL11"])
def test_tubes_overhead_are_the_same_lamps_by_whatever_word(tube):
    """A tube is a metre long wherever it hangs (common practice, no source)."""
    said = ("overhead", "overhead array", "overhead rows", "ceiling", "top light", "")
    rows = [hall(f"{tube} {place} 400 lx").venue.lights for place in said]
    shapes = {tuple((one.size, one.number, one.spread, one.elevation) for one in lights) for lights in rows}
    assert len(shapes) == 1
    [(size, *_)] = shapes.pop()
    assert size > 5.0
    assert hall(f"{tube} front 400 lx").venue.lights[0].size == size
    assert hall(f"{tube} size 2 overhead 400 lx").venue.lights[0].size == 2.0
