"""What an entry may hold: each refusal is one sentence that says what was found and what is allowed."""

import math

import pytest
from pydantic import ValidationError

from planner.catalogue import Coating, Cut, Stone, Swatch, Venue
from planner.catalogue.errors import explain, field_path

STONE = {"id": "a", "name": "A", "basis": "invented", "material": "glass", "cut": "x", "sizes": ["SS20"]}
COATING = {"id": "a", "name": "A", "basis": "invented", "layers": [{"material": "TiO2", "nm": 160}]}
CUT = {
    "id": "a",
    "name": "A",
    "basis": "invented",
    "rows": [{"facets": 12, "angle": 38, "inner": 0.5}],
    "girdle": 0.04,
    "waviness": 0.1,
    "wedge": 0.1,
}
LIGHT = {"name": "lamp", "spectrum": {"kelvin": 3200}, "lux": 500, "elevation": 30, "azimuth": 0, "size": 1}
VENUE = {
    "id": "a",
    "name": "A",
    "basis": "invented",
    "distance": 10,
    "lights": [LIGHT],
    "surround": {"lux": 20, "spectrum": {"daylight": 6500}},
    "floor": {"reflectance": 0.1},
}
SWATCH = {"id": "a", "name": "A", "basis": "invented", "colour": "#102030"}
FLAT = [[400, 0.5], [700, 0.5]]

GOOD = [
    (Stone, STONE, {}),
    (Stone, STONE, {"colourants": {"cobalt": 1.5, "copper": 0.2}}),
    (Stone, STONE, {"spectrum": FLAT, "depth_mm": 4}),
    (Stone, STONE, {"colour": "#ABCDEF", "seen_size": "20ss"}),
    (Stone, STONE, {"opaque": True}),
    (Stone, STONE, {"foil": "none", "back": "air gap"}),
    (Coating, COATING, {"lay": {"kind": "off axis", "angle": 20}}),
    (Cut, CUT, {}),
    (Venue, VENUE, {}),
    (Venue, VENUE, {"lights": []}),
    (Venue, VENUE, {"surround": {"lux": 1, "spectrum": {"table": FLAT}}}),
    (Swatch, SWATCH, {}),
    (Swatch, SWATCH, {"colour": None, "lab": [50, 10, -10]}),
    (Swatch, SWATCH, {"colour": None, "spectrum": FLAT}),
]


@pytest.mark.parametrize(("model", "base", "change"), GOOD)
def test_good_entries_are_accepted_and_can_be_keys(model, base, change):
    one, other = model(**{**base, **change}), model(**{**base, **change})
    assert one == other
    assert len({one, other}) == 1
    with pytest.raises(ValidationError):
        one.name = "other"


BAD = [
    (Stone, STONE, {"material": "brass"}, "material", '"brass"', "lead crystal"),
    (Stone, STONE, {"colr": "#000000"}, "colr", "not known here", '"colour"'),
    (Stone, STONE, {"name": ""}, "name", '""', "1 to 80 characters"),
    (Stone, STONE, {"name": "   "}, "name", '"   "', "1 to 80 characters"),
    (Stone, STONE, {"name": "x\x1b[31m"}, "name", "x1b", "one line"),
    (Stone, STONE, {"id": "Two Words"}, "id", '"Two Words"', "lower-case"),
    (Stone, STONE, {"sizes": []}, "sizes", "0 entries", "at least 1"),
    (Stone, STONE, {"sizes": ["SS18"]}, "sizes[0]", '"SS18"', "SS16 and SS20"),
    (Stone, STONE, {"sizes": ["SS20", "ss20"]}, "", "twice", "once"),
    (Stone, STONE, {"colourants": {}}, "colourants", "0 entries", "at least 1"),
    (Stone, STONE, {"colourants": {"cobalt": -1}}, "colourants.cobalt", "-1", "above 0"),
    (Stone, STONE, {"colourants": {"cobalt": True}}, "colourants.cobalt", "true", "a number"),
    (
        Stone,
        STONE,
        {"colourants": {"cobalt": 1}, "colour": "#000000", "seen_size": "SS20"},
        "",
        "and",
        "one of",
    ),
    (Stone, STONE, {"spectrum": FLAT}, "", "without depth_mm", "needs"),
    (Stone, STONE, {"seen_size": "SS20"}, "", "without colour", "needs"),
    (Stone, STONE, {"spectrum": [[400, 0.0], [700, 1]], "depth_mm": 1}, "spectrum", "row 1", "above 0"),
    (Stone, STONE, {"spectrum": [[400, 1], [700, math.nan]], "depth_mm": 1}, "spectrum", "nan", "at most 1"),
    (Stone, STONE, {"spectrum": [[700, 1], [400, 1]], "depth_mm": 1}, "spectrum", "400 nm after 700", "rise"),
    (Stone, STONE, {"spectrum": [[450, 1], [700, 1]], "depth_mm": 1}, "spectrum", "450 to 700", "400 to 700"),
    (Stone, STONE, {"spectrum": [[400, 1], [700]], "depth_mm": 1}, "spectrum", "row 2", "[nm, value]"),
    (Stone, STONE, {"spectrum": "red", "depth_mm": 1}, "spectrum", '"red"', "rows"),
    (Stone, STONE, {"opaque": True, "colourants": {"cobalt": 1}}, "", "opaque", "surface"),
    (Stone, STONE, {"opaque": "yes"}, "opaque", '"yes"', "true or false"),
    (Stone, STONE, {"back": "air gap"}, "", "air gap", "none"),
    (Stone, STONE, {"body_spread": 0.6}, "body_spread", "0.6", "at most 0.5"),
    (Stone, STONE, {"basis": "guessed"}, "basis", '"guessed"', '"estimated"'),
    (Coating, COATING, {"id": "none"}, "", '"none"', "uncoated"),
    (Coating, COATING, {"layers": []}, "layers", "0 entries", "at least 1"),
    (
        Coating,
        COATING,
        {"layers": [{"material": "TiO2", "nm": -5}]},
        "layers[0].nm",
        "-5",
        "above 0 and at most 5000 nm",
    ),
    (
        Coating,
        COATING,
        {"layers": [{"material": "TiO2", "nm": math.inf}]},
        "layers[0].nm",
        "inf",
        "at most 5000",
    ),
    (
        Coating,
        COATING,
        {"layers": [{"material": "TiO2", "nm": 10**400}]},
        "layers[0].nm",
        "1000",
        "at most 5000",
    ),
    (Coating, COATING, {"layers": [{"material": "TiO2", "nm": "165"}]}, "layers[0].nm", '"165"', "a number"),
    (
        Coating,
        COATING,
        {"layers": [{"material": "TiO2", "mm": 5, "nm": 5}]},
        "layers[0].mm",
        "not known",
        "material, nm",
    ),
    (Coating, COATING, {"layers": [165]}, "layers[0]", "165", "table"),
    (Coating, COATING, {"layers": "TiO2"}, "layers", '"TiO2"', "a list"),
    (Coating, COATING, {"lay": {"kind": "off axis"}}, "lay", "angle = 0", "above 0"),
    (Coating, COATING, {"lay": {"angle": 20}}, "lay", "angle = 20", "no angle"),
    (Coating, COATING, {"lay": {"evenness": 1.5}}, "lay.evenness", "1.5", "at most 1"),
    (Cut, CUT, {"rows": []}, "rows", "0 entries", "at least 1"),
    (Cut, CUT, {"rows": [{"facets": 2, "angle": 38, "inner": 0.5}]}, "rows[0].facets", "2", "3 to 32"),
    (Cut, CUT, {"rows": [{"facets": 8.5, "angle": 38, "inner": 0.5}]}, "rows[0].facets", "8.5", "whole"),
    (Cut, CUT, {"rows": [{"facets": 8, "angle": 90, "inner": 0.5}]}, "rows[0].angle", "90", "below 90"),
    (Cut, CUT, {"rows": [{"facets": 8, "angle": 89, "inner": 0.5}]}, "", "height", "as tall as wide"),
    (Cut, CUT, {"rows": [CUT["rows"][0], CUT["rows"][0]]}, "", "inner = 0.5", "less"),
    (
        Cut,
        CUT,
        {"rows": [CUT["rows"][0], {"facets": 8, "angle": 40, "inner": 0.3}]},
        "",
        "angle = 40",
        "less",
    ),
    (Venue, VENUE, {"distance": 0}, "distance", "0", "above 0"),
    (
        Venue,
        VENUE,
        {"lights": [], "surround": {"lux": 0, "spectrum": {"kelvin": 3000}}},
        "",
        "no light",
        "lux",
    ),
    (Venue, VENUE, {"lights": [{**LIGHT, "spectrum": {}}]}, "lights[0].spectrum", "none", "exactly one of"),
    (
        Venue,
        VENUE,
        {"lights": [{**LIGHT, "spectrum": {"illuminant": "D66"}}]},
        "lights[0].spectrum.illuminant",
        '"D66"',
        '"D65"',
    ),
    (
        Venue,
        VENUE,
        {"lights": [{**LIGHT, "spectrum": {"kelvin": 3000, "daylight": 5000}}]},
        "lights[0].spectrum",
        "kelvin and daylight",
        "exactly one",
    ),
    (
        Venue,
        VENUE,
        {"lights": [{**LIGHT, "spectrum": {"table": [[400, 0], [700, 0]]}}]},
        "lights[0].spectrum",
        "zeros",
        "power",
    ),
    (Venue, VENUE, {"lights": [{**LIGHT, "number": 3}]}, "lights[0]", "3 lamps", "spread"),
    (Venue, VENUE, {"lights": [{**LIGHT, "spread": 3}]}, "lights[0]", "spread = 3", "several"),
    (Venue, VENUE, {"lights": [{**LIGHT, "elevation": 91}]}, "lights[0].elevation", "91", "at most 90"),
    (Venue, VENUE, {"floor": {"reflectance": 0.5, "colour": "grey"}}, "floor.colour", '"grey"', "#1a2b3c"),
    (Swatch, SWATCH, {"lab": [50, 0, 0]}, "", "colour and lab", "exactly one"),
    (Swatch, SWATCH, {"colour": None}, "", "none", "exactly one"),
    (Swatch, SWATCH, {"colour": "#12345"}, "colour", '"#12345"', "six"),
    (Swatch, SWATCH, {"colour": None, "lab": [50, 0]}, "lab", "a list of 2", "[L, a, b]"),
    (Swatch, SWATCH, {"colour": None, "lab": [101, 0, 0]}, "lab", "101", "at most 100"),
    (Swatch, SWATCH, {"uncertainty": -1}, "uncertainty", "-1", "at least 0"),
]


@pytest.mark.parametrize(("model", "base", "change", "field", "found", "allowed"), BAD)
def test_bad_entries_are_refused_in_plain_words(model, base, change, field, found, allowed):
    with pytest.raises(ValidationError) as caught:
        model(**{**base, **change})
    place, words = explain(caught.value, model)
    assert field_path(place) == field
    assert found in words
    assert allowed in words
    assert "\n" not in words
    assert "(also" not in words
    for jargon in ("Value error", "Input should", "validation", "pydantic"):
        assert jargon not in words


@pytest.mark.parametrize("missing", ["id", "name", "basis", "material", "cut", "sizes"])
def test_a_missing_field_is_named(missing):
    with pytest.raises(ValidationError) as caught:
        Stone(**{key: value for key, value in STONE.items() if key != missing})
    field, words = explain(caught.value, Stone)
    assert field == (missing,)
    allowed = {
        "basis": '"invented", "estimated", "measured"',
        "material": '"acrylic", "glass", "lead-free crystal", "lead crystal"',
    }.get(missing)
    assert words == (f"is missing; allowed are {allowed}" if allowed else "is missing")


OTHERS = [
    ({"material": "brass", "basis": "hearsay"}, ['"hearsay"', 'field material: found "brass"']),
    ({"material": "brass", "basis": "hearsay", "sizes": 5}, ["material", "and field sizes: found 5"]),
    (
        {"material": "brass", "basis": "hearsay", "sizes": 5, "cut": 6},
        ['(also field material: found "brass"', ", and 2 more in this entry)"],
    ),
    ({"material": "brass", "cut": 6, "sizes": 5, "name": 7, "id": 8}, ["and 3 more in this entry)"]),
]


@pytest.mark.parametrize(("change", "named"), OTHERS)
def test_the_other_faults_of_an_entry_are_named(change, named):
    with pytest.raises(ValidationError) as caught:
        Stone(**{**STONE, **change})
    _, words = explain(caught.value, Stone)
    assert "\n" not in words
    for one in named:
        assert one in words


def test_a_misspelt_field_is_not_missing_as_well():
    given = {("bassis" if key == "basis" else key): value for key, value in STONE.items()}
    with pytest.raises(ValidationError) as caught:
        Stone(**given)
    assert explain(caught.value, Stone) == (("bassis",), 'is not known here; did you mean "basis"?')


def test_a_field_that_is_like_none_is_told_every_field_there_is():
    with pytest.raises(ValidationError) as caught:
        Stone(**dict.fromkeys(Stone.model_fields, 1), zzz=1)
    _, words = explain(caught.value, Stone)
    assert len(Stone.model_fields) > 12
    assert all(field in words for field in Stone.model_fields)


def test_swatch_uncertainty_follows_its_basis_unless_stated():
    assert Swatch(**SWATCH).sd == 0.0
    assert Swatch(**{**SWATCH, "basis": "measured"}).sd < Swatch(**{**SWATCH, "basis": "estimated"}).sd
    assert Swatch(**{**SWATCH, "uncertainty": 7}).sd == 7.0


def test_height_of_a_cut_is_its_geometry():
    # A cone at 45° cut off at half its radius is a quarter of a diameter high.
    assert Cut(**{**CUT, "rows": [{"facets": 8, "angle": 45, "inner": 0.5}]}).height == pytest.approx(0.29)
