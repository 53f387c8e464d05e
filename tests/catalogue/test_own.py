"""A person's own entries: every step keeps her file's other lines, and can be taken back."""

import pytest

from planner.catalogue import load
from planner.catalogue import own as steps
from planner.catalogue.find import id_of, near, not_found
from planner.catalogue.sizes import size_of, sizes_said
from planner.catalogue.stone import Stone
from planner.data import demo
from planner.refusal import InvalidValue, Refusal


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setattr("planner.catalogue.palette.user_folder", lambda: tmp_path / "own")
    monkeypatch.setattr("planner.catalogue.keep.user_folder", lambda: tmp_path / "own")
    return tmp_path / "own"


def stone(name="Rope blue", **more):
    fields = {"id": "rope-blue", "name": name, "basis": "estimated", "material": "glass", "cut": "twelve",
              "sizes": ["SS20"], "colour": "#2a4b9c", "seen_size": "SS20"}  # fmt: skip
    return Stone.model_validate({**fields, **more})


def palette_of(folder):
    return load(demo(), folder) if folder.exists() else load(demo())


def test_adding_changing_renaming_copying_and_removing_leave_the_rest_as_it_is(folder):
    steps.add(stone(), palette_of(folder))
    path = folder / "stones.toml"
    path.write_text(path.read_text() + "# bought in March, drawer three\n")
    steps.change(stone(sizes=["SS20", "SS30"]), palette_of(folder))
    renamed = steps.rename(palette_of(folder), "stone", "rope-blue", "Röpe Blue")
    assert renamed.entry.name == "Röpe Blue"
    assert renamed.entry.id == "rope-blue"
    copied = steps.copy(palette_of(folder), "stone", "rope-blue", "Rope blue two")
    assert copied.entry.id == "rope-blue-two"
    assert set(load(folder).stones) == {"rope-blue", "rope-blue-two"}
    steps.remove(palette_of(folder), "stone", "rope-blue-two")
    text = path.read_text()
    assert "# bought in March, drawer three" in text
    assert load(folder).stones["rope-blue"].sizes == ("SS20", "SS30")


def test_every_step_can_be_taken_back(folder):
    steps.add(stone(), palette_of(folder))
    path = folder / "stones.toml"
    before = path.read_text()
    step = steps.remove(palette_of(folder), "stone", "rope-blue")
    assert "rope-blue" not in path.read_text()
    step.back()
    assert path.read_text() == before


def test_taking_back_refuses_where_the_file_changed_meanwhile(folder):
    steps.add(stone(), palette_of(folder))
    step = steps.rename(palette_of(folder), "stone", "rope-blue", "Other")
    path = folder / "stones.toml"
    path.write_text(path.read_text() + "# by hand\n")
    with pytest.raises(Refusal, match="changed"):
        step.back()
    assert "# by hand" in path.read_text()


def test_what_comes_with_the_planner_is_not_changed_but_can_be_copied(folder):
    palette = palette_of(folder)
    for kind, entry in (("stone", "pulley-blue"), ("coating", "ab"), ("cut", "twelve")):
        with pytest.raises(Refusal, match="make a copy"):
            steps.remove(palette, kind, entry)
    copied = steps.copy(palette, "coating", "ab", "Ann's AB")
    assert copied.entry.name == "Ann's AB"
    assert copied.entry.id == "ann-s-ab"
    assert steps.is_own(palette_of(folder), "coating", "ann-s-ab")


def test_an_id_that_is_taken_is_refused_unless_it_is_to_be_replaced(folder):
    steps.add(stone(), palette_of(folder))
    with pytest.raises(Refusal, match="already"):
        steps.add(stone(name="New"), palette_of(folder))
    steps.add(stone(name="New"), palette_of(folder), over=True)
    assert load(folder).stones["rope-blue"].name == "New"


def test_a_cut_that_a_stone_has_stays(folder):
    cut = load(demo()).cuts["twelve"].model_copy(update={"id": "mine", "name": "Mine"})
    steps.add(cut, palette_of(folder))
    steps.add(stone(cut="mine"), palette_of(folder))
    with pytest.raises(Refusal, match="Rope blue has it"):
        steps.remove(palette_of(folder), "cut", "mine")


@pytest.mark.parametrize(
    ("kind", "said", "found"),
    [
        ("stone", "pulley-blue", "pulley-blue"),
        ("stone", "Pulley Blue", "pulley-blue"),
        ("stone", "PULLEY BLUE ", "pulley-blue"),
        ("coating", "AB", "ab"),
        ("coating", "Aurora Borealis", "ab"),
        ("coating", "half-coated", "ab"),
        ("coating", "uncoated", "none"),
        ("cut", "12", "twelve"),
        ("cut", "8+8", "sixteen"),
        ("stone", "xyz", None),
    ],
)
def test_entries_are_found_by_what_people_call_them(kind, said, found):
    assert id_of(kind, said, load(demo()).entries(kind)) == found


def test_what_is_not_found_is_asked_about():
    stones = load(demo()).stones
    assert near("puley blu", stones)[0].id == "pulley-blue"
    assert "Pulley blue (pulley-blue)" in not_found("stone", "puley blu", stones)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("SS12 16 20 30", ("SS12", "SS16", "SS20", "SS30")),
        ("20", ("SS20",)),
        ("ss 20, ss16", ("SS16", "SS20")),
        ("5 mm", ("SS20",)),
        ("4,7mm and SS30", ("SS20", "SS30")),
        ("SS20/SS16", ("SS16", "SS20")),
    ],
)
def test_sizes_are_understood_as_they_are_written(said, found):
    assert sizes_said(said) == found


@pytest.mark.parametrize("said", ["", "big", "SS20 large", "SS19", "90 mm"])
def test_what_is_no_size_is_refused(said):
    with pytest.raises(InvalidValue):
        sizes_said(said)


def test_millimetres_are_the_size_whose_range_holds_them():
    assert size_of(4.7) == "SS20"
    assert size_of(6.5) == "SS30"
