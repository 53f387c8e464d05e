"""Every file of data says in its header where it comes from and under which licence it stands."""

import re
from itertools import takewhile

import pytest

from planner.data import demo, shared

FILES = sorted(
    path
    for folder in (demo(), shared(""))
    for path in folder.rglob("*")
    if path.suffix in {".toml", ".csv", ".json", ".typ"}
)


def header(path):
    """Return the remarks that a file begins with, or what a JSON file says of its origin."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".json":
        return text.partition('"provenance"')[2].partition("}")[0]
    return "\n".join(takewhile(lambda line: line.startswith(("#", "//")), text.splitlines()))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_a_data_file_says_where_it_comes_from_and_its_licence(path):
    said = header(path)
    assert re.search(r"\blicence\W+\w", said)
    assert re.search(r"\bsources?\b|\bobtained.from\b|\bINVENTED\b|\bfrom.memory\b", said)


def test_letters_carry_their_licence():
    for font in shared("").rglob("*.otf"):
        assert list(font.parent.glob("*LICENSE*"))


def test_there_are_files_of_both_kinds():
    assert {path.parent.name for path in FILES} >= {"palettes_demo", "jobs", "shared", "brief"}
