"""Several files as one palette: nothing shadows, every name is known, every entry has an origin."""

import pytest

from planner.catalogue import Refusal, load, sources, user_folder
from planner.catalogue import palette as palette_module
from planner.data import demo

CUT = """
[[cut]]
id = "twelve"
name = "Twelve"
rows = [{ facets = 12, angle = 38, inner = 0.5 }]
girdle = 0.04
waviness = 0.1
wedge = 0.1
basis = "invented"
"""
STONE = """
[[stone]]
id = "pulley"
name = "Pulley"
material = "glass"
cut = "twelve"
colourants = { cobalt = 1.0 }
sizes = ["SS20"]
basis = "invented"
"""
COATING = """
[[coating]]
id = "halyard"
name = "Halyard"
layers = [{ material = "SiO2", nm = 90 }, { material = "TiO2", nm = 160 }]
basis = "invented"
"""
NAMES = {"materials": {"SiO2", "TiO2"}, "colourants": {"cobalt", "copper"}}


def write(folder, **texts):
    folder.mkdir(exist_ok=True)
    for name, text in texts.items():
        (folder / f"{name}.toml").write_text(text)
    return folder


def refuse(*places, expected):
    with pytest.raises(Refusal) as caught:
        load(*places, **NAMES)
    for words in expected:
        assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_files_and_folders_join(tmp_path):
    folder = write(tmp_path, cuts=CUT, stones=STONE)
    films = write(tmp_path / "films", films=COATING) / "films.toml"
    palette = load(folder, films, **NAMES)
    assert list(palette.stones) == ["pulley"]
    assert next(iter(palette.entries("coating"))) == "halyard"
    assert str(palette.origin("stone", "pulley")) == f"{folder / 'stones.toml'} line 2"
    assert palette.origin("coating", "halyard").path == films
    with pytest.raises(KeyError):
        palette.origin("stone", "halyard")
    with pytest.raises(TypeError):
        palette.stones["other"] = palette.stones["pulley"]


def test_the_same_id_twice_names_both_files(tmp_path):
    one, two = write(tmp_path / "one", cuts=CUT, stones=STONE), write(tmp_path / "two", mine=STONE)
    refuse(
        one, two, expected=[str(one / "stones.toml"), str(two / "mine.toml"), 'stone "pulley"', "--palettes"]
    )


def test_the_same_id_in_two_kinds_is_fine(tmp_path):
    assert load(write(tmp_path, a=CUT + STONE + COATING.replace("halyard", "pulley")), **NAMES).coatings[
        "pulley"
    ]


@pytest.mark.parametrize(
    ("text", "field", "found"),
    [
        (CUT + STONE.replace('"twelve"', '"twelv"'), "field cut", 'no such cut: did you mean "twelve"?'),
        (CUT + STONE.replace("cobalt", "cobolt"), "field colourants", 'colourant: did you mean "cobalt"?'),
        (COATING.replace('"TiO2"', '"TiO"'), "field layers[1].material", 'material: did you mean "TiO2"?'),
        (STONE.replace('"twelve"', '"twelv"'), "field cut", "did you mean"),
    ],
)
def test_an_unknown_name_is_one_sentence(tmp_path, text, field, found):
    refuse(write(tmp_path, bad=text), expected=["bad.toml line", field, found])


def test_places_that_are_no_palettes(tmp_path):
    refuse(tmp_path, expected=[str(tmp_path), "no palette file"])
    refuse(tmp_path / "absent", expected=["absent", "no such file"])


def test_too_many_files(tmp_path, monkeypatch):
    monkeypatch.setattr(palette_module, "MAX_FILES", 1)
    refuse(write(tmp_path, one=CUT, two=STONE), expected=["2 palette files", "at most 1"])


def test_backups_and_hidden_files_are_no_palettes(tmp_path):
    write(tmp_path, cuts=CUT)
    (tmp_path / "cuts.toml.bak").write_text(CUT)
    (tmp_path / ".cuts.toml").write_text(CUT)
    assert len(load(tmp_path, **NAMES).files) == 1


def test_usual_sources(tmp_path, monkeypatch):
    monkeypatch.setattr(palette_module.platformdirs, "user_data_dir", lambda *_, **__: str(tmp_path / "data"))
    job = tmp_path / "work" / "hoop.toml"
    write(job.parent, **{"net.palette": CUT, "hoop": ""})
    beside = job.parent / "net.palette.toml"
    assert sources() == (demo(),)
    assert sources(job=job) == (demo(), beside)
    own = user_folder()
    own.parent.mkdir()
    write(own, mine=CUT)
    assert sources(job=job) == (demo(), own, beside)
    assert sources(job=job, palettes=tmp_path / "copy") == (tmp_path / "copy", beside)
    assert sources(job=job, palettes=job.parent) == (job.parent,)


def test_what_is_commonly_sold_is_there_and_gives_way_to_ones_own(tmp_path):
    bare = load(write(tmp_path / "bare", mine=STONE), **NAMES)
    assert bare.cuts["twelve"].basis == "estimated"
    assert bare.coatings["ab"].name == "AB, maker unknown"
    assert bare.origin("coating", "ab").path.name == "common_palette.toml"
    own = load(write(tmp_path / "own", mine=STONE, cuts=CUT), **NAMES)
    assert own.cuts["twelve"] == load(write(tmp_path / "cut", cuts=CUT), **NAMES).cuts["twelve"]
    assert own.origin("cut", "twelve").path.name == "cuts.toml"
