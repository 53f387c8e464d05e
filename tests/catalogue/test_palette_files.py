"""Palette files in and out: one sentence for each fault, and a person's text left as it was."""

import os
import stat
import threading
import time
import tomllib
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner import atomic
from planner.catalogue import Coating, Layer, Refusal, Stone, Swatch, new_palette_file, read_palette_file
from planner.catalogue import files as files_module
from planner.catalogue.files import MAX_BYTES
from planner.catalogue.palette_file import MAX_ENTRIES
from planner.catalogue.toml_text import parse

MIXED = """\
# Kept from last season; do not tidy.

[[stone]]           # the blue one
id = "pulley-blue"
name = "Pulley blue"
material = "glass"
cut = "twelve"      # as bought
sizes = ["ss16", "SS20"]
basis = "estimated"
[stone.colourants]
cobalt = 1.2        # by eye

# Under this one the film is thin.
[[coating]]
id = "halyard"
name = "Halyard"
layers = [          # air side first
  { material = "SiO2", nm = 80 },   # outer
  { material = "TiO2", nm = 160 },  # inner
]
basis = "invented"

[[stone]]
id = "jet"
name = "Jet"
material = "glass"
cut = "twelve"
opaque = true
sizes = ["SS20"]
basis = "invented"

# The end.
"""

SWATCH = '[[swatch]]\nid = "a"\nname = "A"\ncolour = "#102030"\nbasis = "invented"\n'


@pytest.fixture
def mixed(tmp_path):
    path = tmp_path / "mixed.toml"
    path.write_bytes(MIXED.encode())
    return path


def entry(file, entry_id):
    return next(one for one in file.entries if one.id == entry_id)


def refuse(path, *expected):
    with pytest.raises(Refusal) as caught:
        read_palette_file(path)
    sentence = str(caught.value)
    assert "\n" not in sentence
    assert path.name in sentence
    for words in expected:
        assert words in sentence


BAD_TEXTS = {
    "negative thickness": (
        MIXED.replace("nm = 160", "nm = -5"),
        'line 14, coating "halyard", field layers[1].nm',
        "found -5",
        "above 0 and at most 5000 nm",
    ),
    "nan": (MIXED.replace("nm = 160", "nm = nan"), "layers[1].nm", "found nan"),
    "infinity": (MIXED.replace("nm = 160", "nm = inf"), "layers[1].nm", "found inf"),
    "misspelt field": (
        MIXED.replace("opaque", "opaqe"),
        'line 23, stone "jet", field opaqe',
        'did you mean "opaque"',
    ),
    "duplicate id": (MIXED.replace('"jet"', '"pulley-blue"'), 'line 23, stone "pulley-blue"', "second time"),
    "unprintable field": ('[[stone]]\n"a\\nb" = 1\n', "line 1, stone 1", "a\\nb", "not known here"),
    "no id": (SWATCH.replace('id = "a"\n', ""), "line 1, swatch 1, field id", "missing"),
    "unknown kind": ("[[stones]]\n", '"stones"', 'did you mean "stone"'),
    "single brackets": ("[stone]\nid = 'a'\n", "[[stone]]"),
    "no table": ("stone = 3\n", "[[stone]]"),
    "list of numbers": ("stone = [3]\n", "stone 1", "a table"),
    "bad TOML": ("[[stone]]\nid = \n", "line 2", "not valid TOML"),
    "unfinished TOML": ('[[stone]]\nname = "a', "not valid TOML"),
    "key twice": ("[[stone]]\nid = 'a'\nid = 'b'\n", "line 3", "not valid TOML"),
    "huge integer": ("[[stone]]\nid = " + "9" * 5000, "not valid TOML"),
    "deep lists": ("stone = " + "[" * 2000 + "]" * 2000, "too deep"),
    "deep tables": ("stone = " + "{a = " * 2000 + "1" + "}" * 2000, "too deep"),
    "long dotted key": ("a." * 100_000 + "a = 1\n", "line 1", "100000 dots"),
    "long dotted header": ("\n[" + "'a'." * 1000 + "a]\n", "line 2", "1000 dots"),
    "too many entries": (
        "[[stone]]\n" * (MAX_ENTRIES + 1),
        f"{MAX_ENTRIES + 1} entries",
        f"at most {MAX_ENTRIES}",
    ),
}


@pytest.mark.parametrize("name", BAD_TEXTS)
def test_a_bad_file_is_one_sentence(tmp_path, name):
    text, *expected = BAD_TEXTS[name]
    path = tmp_path / "bad.toml"
    path.write_text(text, encoding="utf-8")
    refuse(path, *expected)


def test_dots_in_comments_and_numbers_are_no_long_key(tmp_path):
    path = tmp_path / "dots.toml"
    rows = ", ".join(f"[{nm}.5, 0.5]" for nm in range(380, 720, 5))
    path.write_text(f"# {'.' * 200}\n" + SWATCH.replace('colour = "#102030"', f"spectrum = [{rows}]"))
    assert len(read_palette_file(path).entries[0].spectrum) == 68


def test_files_that_cannot_be_read(tmp_path, monkeypatch):
    refuse(tmp_path / "absent.toml", "no such file")
    refuse(tmp_path, "found a folder")
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b"# ok\n# caf\xe9\n")
    refuse(latin, "line 2", "0xe9", "offset 10", "UTF-8")
    large = tmp_path / "large.toml"
    with large.open("wb") as file:
        file.truncate(MAX_BYTES + 1)
    refuse(large, f"{MAX_BYTES + 1} bytes", f"at most {MAX_BYTES}")
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    refuse(pipe, "plain file")
    locked = tmp_path / "locked.toml"
    locked.write_text(SWATCH)

    def deny(self, *_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(files_module.Path, "open", deny)
    refuse(locked, "Permission denied")


def test_a_file_that_is_read_knows_its_lines(mixed):
    file = read_palette_file(mixed)
    assert file.lines == {("stone", "pulley-blue"): 3, ("coating", "halyard"): 14, ("stone", "jet"): 23}
    assert file.source.text == MIXED


def test_saving_unchanged_is_byte_identical_and_writes_nothing(mixed):
    before = mixed.stat().st_mtime_ns
    file = read_palette_file(mixed)
    same = file.with_entry(entry(file, "halyard")).save()
    assert mixed.read_bytes() == MIXED.encode()
    assert mixed.stat().st_mtime_ns == before
    assert same.source == file.source


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_changing_one_number_changes_one_line(mixed, newline, mark):
    mixed.write_bytes((mark + MIXED).replace("\n", newline).encode())
    file = read_palette_file(mixed)
    halyard = entry(file, "halyard")
    layers = (halyard.layers[0], Layer(material="TiO2", nm=171.5))
    file.with_entry(halyard.model_copy(update={"layers": layers})).save()
    expected = (mark + MIXED).replace("nm = 160 }", "nm = 171.5 }").replace("\n", newline)
    assert mixed.read_bytes().decode() == expected
    assert mixed.with_name("mixed.toml.bak").read_bytes() == (mark + MIXED).replace("\n", newline).encode()


def test_new_and_dropped_fields_leave_the_rest(mixed):
    file = read_palette_file(mixed)
    pulley = entry(file, "pulley-blue")
    changed = file.with_entry(Stone(**{**pulley.model_dump(exclude_unset=True), "body_spread": 0.2}))
    old, new = MIXED.splitlines(), changed.source.text.splitlines()
    assert [line for line in old if line.strip() and line not in new] == []
    assert [line for line in new if line.strip() and line not in old] == ["body_spread = 0.2"]
    back = changed.with_entry(pulley)
    assert [line for line in back.source.text.splitlines() if line] == [line for line in old if line]


def test_adding_an_entry_only_adds_text(mixed):
    file = read_palette_file(mixed)
    added = file.with_entry(Swatch(id="cloth", name="Cloth", lab=(50, 1.5, -3), basis="measured"))
    assert added.source.text.startswith(MIXED)
    assert entry(added.save(), "cloth").lab == (50.0, 1.5, -3.0)
    assert set(read_palette_file(mixed).entries) == {*file.entries, entry(added, "cloth")}


def test_entries_without_headers_are_read_but_not_rewritten(tmp_path):
    path = tmp_path / "inline.toml"
    path.write_text('swatch = [{ id = "a", name = "A", colour = "#102030", basis = "invented" }]\n')
    file = read_palette_file(path)
    with pytest.raises(Refusal, match="by hand") as caught:
        file.with_entry(file.entries[0].model_copy(update={"name": "B"}))
    assert "inline.toml" in str(caught.value)


def test_a_header_inside_a_text_is_not_taken_for_an_entry(tmp_path):
    path = tmp_path / "text.toml"
    path.write_text(
        "[[swatch]]\nid = 'a'\nname = '''\n[[swatch]]\n'''\ncolour = '#000000'\nbasis = 'invented'\n"
    )
    refuse(path, 'swatch "a", field name', "one line")


def test_a_file_changed_underneath_is_not_overwritten(mixed):
    file = read_palette_file(mixed)
    changed = file.with_entry(Swatch(id="cloth", name="Cloth", colour="#000000", basis="invented"))
    mixed.write_text("# rewritten by hand\n")
    with pytest.raises(Refusal, match="changed by someone else"):
        changed.save()
    assert mixed.read_text() == "# rewritten by hand\n"
    mixed.unlink()
    with pytest.raises(Refusal, match="gone"):
        changed.save()
    assert not mixed.exists()


def test_a_new_file_never_replaces_another(tmp_path):
    path = tmp_path / "new.palette.toml"
    swatch = Swatch(id="cloth", name="Cloth", colour="#000000", basis="invented")
    new_palette_file(path, "My own.").with_entry(swatch).save()
    assert path.read_text().startswith("# My own.\n")
    assert read_palette_file(path).entries == (swatch,)
    with pytest.raises(Refusal, match="already"):
        new_palette_file(path).with_entry(swatch).save()


@pytest.mark.skipif(os.name == "nt", reason="folders cannot be locked there")
def test_of_planners_that_save_at_once_none_loses_what_another_kept(tmp_path, monkeypatch):
    # Each reads before any writes, and takes its time between the check and the rename.
    path, before = tmp_path / "own.toml", atomic._put
    black = Swatch(id="cloth", name="Cloth", colour="#000000", basis="invented")
    files = [
        new_palette_file(path).with_entry(black.model_copy(update={"id": f"cloth-{i}"})) for i in range(4)
    ]

    def slowly(*parts, **how):
        time.sleep(0.02)
        before(*parts, **how)

    monkeypatch.setattr(atomic, "_put", slowly)
    said = []

    def save(file):
        try:
            said.append(file.save().path)
        except Refusal as problem:
            said.append(str(problem))

    threads = [threading.Thread(target=save, args=(one,)) for one in files]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert said.count(path) == 1
    assert sum("found a file of that name already" in str(one) for one in said) == 3
    assert len(read_palette_file(path).entries) == 1


def test_a_failed_write_loses_nothing(mixed, monkeypatch):
    file = read_palette_file(mixed)
    changed = file.with_entry(Swatch(id="cloth", name="Cloth", colour="#000000", basis="invented"))

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic.os, "fsync", full)
    with pytest.raises(Refusal, match="No space left"):
        changed.save()
    assert mixed.read_text() == MIXED
    assert [path.name for path in mixed.parent.iterdir()] == ["mixed.toml"]


def test_permissions_and_links_are_kept(mixed):
    mixed.chmod(0o640)
    link = mixed.with_name("link.toml")
    link.symlink_to(mixed)
    file = read_palette_file(link)
    file.with_entry(Swatch(id="cloth", name="Cloth", colour="#000000", basis="invented")).save()
    assert link.is_symlink()
    assert stat.S_IMODE(mixed.stat().st_mode) == 0o640
    assert "cloth" in mixed.read_text()


# --- Properties -----------------------------------------------------------------------------------

comments = st.lists(
    st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=12).map("# {}".format)
    | st.just(""),
    max_size=3,
)
thickness = st.floats(0.001, 5000, allow_nan=False).map(lambda nm: round(nm, 3))


@st.composite
def palettes(draw):
    """Texts with stones and coatings in any order, comments and blank lines anywhere."""
    kinds = draw(st.lists(st.sampled_from(["stone", "coating"]), min_size=1, max_size=5))
    lines = draw(comments)
    for number, kind in enumerate(kinds):
        body = [f'id = "e{number}"', f'name = "Entry {number}"', 'basis = "invented"']
        if kind == "stone":
            body += ['material = "glass"', 'cut = "twelve"', 'sizes = ["SS20"] # one']
        else:
            inner = "\n  # why\n" if draw(st.booleans()) else ""
            body.append(f'layers = [{inner}{{ material = "TiO2", nm = {draw(thickness)} }},{inner}] # out')
        lines.append(f"[[{kind}]]")
        for line in draw(st.permutations(body)):
            lines += [line, *draw(comments)]
    newline = draw(st.sampled_from(["\n", "\r\n"]))
    return "\n".join([*lines, *draw(st.sampled_from([[], [""]]))]).replace("\n", newline)


@given(text=palettes(), nm=thickness, pick=st.integers(0, 4))
def test_an_edit_touches_its_own_entry_only(tmp_path_factory, text, nm, pick):
    path = tmp_path_factory.getbasetemp() / "property.toml"
    path.unlink(missing_ok=True)
    path.write_bytes(text.encode())
    file = read_palette_file(path)
    assert file.save().source.data == text.encode() == path.read_bytes()
    chosen = file.entries[pick % len(file.entries)]
    update = {"layers": (Layer(material="TiO2", nm=nm),)} if isinstance(chosen, Coating) else {"foil": "none"}
    changed = file.with_entry(chosen.model_copy(update=update))
    assert set(changed.entries) == {*file.entries} - {chosen} | {chosen.model_copy(update=update)}
    for one in set(file.entries) - {chosen}:
        assert block(changed, one) == block(file, one)
    for line in text.split("\n"):
        assert not line.startswith("# ") or line in changed.source.text


def block(file, one):
    """The text of an entry, from its header to the next."""
    starts = sorted(line for line in file.lines.values())
    start = file.lines["stone" if isinstance(one, Stone) else "coating", one.id]
    ends = dict(pairwise([*starts, None]))
    lines = file.source.text.split("\n")
    return [line.rstrip("\r") for line in lines[start - 1 : ends[start] and ends[start] - 1] if line.strip()]


@given(
    name=st.text(min_size=1, max_size=80).filter(lambda text: text.isprintable() and text.strip()),
    lab=st.tuples(st.floats(0, 100), st.floats(-150, 150), st.floats(-150, 150)),
)
def test_any_swatch_survives_a_file(tmp_path_factory, name, lab):
    path = tmp_path_factory.getbasetemp() / "swatch.toml"
    path.unlink(missing_ok=True)
    swatch = Swatch(id="a", name=name, lab=lab, basis="measured")
    new_palette_file(path).with_entry(swatch).save()
    assert read_palette_file(path).entries == (swatch,)
    assert tomllib.loads(path.read_text(encoding="utf-8"))["swatch"][0]["name"] == name


@given(data=st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_no_file_causes_anything_but_a_sentence(tmp_path_factory, data):
    path = tmp_path_factory.getbasetemp() / "noise.toml"
    path.write_bytes(data)
    sentence = ""
    try:
        read_palette_file(path)
    except Refusal as problem:
        sentence = str(problem)
    assert sentence == "" or path.name in sentence
    assert "\n" not in sentence


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("width_cm = 3,0\n", "line 1: found 3,0; write 3.0, with a point"),
        ('a = "x"\nhourly_rate = 18,50  # euros', "line 2: found 18,50; write 18.50, with a point"),
        ("a = 3, 0\n", "line 1: is not valid TOML"),
    ],
)
def test_a_comma_in_a_number_is_told_as_what_it_is(text, said, tmp_path):
    path = tmp_path / "job.toml"
    with pytest.raises(Refusal) as problem:
        parse(path, text)
    assert said in str(problem.value)
