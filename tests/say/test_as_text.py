"""Text and JSON of a document: widths in cells, nothing that steers a terminal, figures that are numbers."""

import json

import numpy as np
import pytest
from click import unstyle
from made_readings import made
from wcwidth import width

from planner.reading.leeway import leeway
from planner.say.as_json import json_text
from planner.say.as_text import Page, text
from planner.say.document import (
    Bar,
    Column,
    Command,
    Document,
    Drawn,
    Item,
    Literally,
    Patch,
    Patches,
    Row,
    Section,
    Sentence,
    Table,
    Warned,
    Way,
    document,
    section,
)


def shown(*parts, columns=60, true_colour=False):
    return text(Document("", parts), Page(columns, true_colour))


@pytest.mark.parametrize("kana", ["さくら", "さくらのはなびら"])
def test_a_table_keeps_its_columns_under_names_in_kana(kana):
    # The longer one has fewer letters than the other name, and is wider.
    rows = [Row((kana, "12")), Row(("Pulley blue", "3"))]
    lines = shown(Table((Column("stone"), Column("count", "right")), tuple(rows))).split("\n")
    widest = max(width(kana), width("Pulley blue"))
    assert {width(line) for line in lines[1:]} == {widest + 2 + len("count")}


def test_no_line_is_wider_than_the_page_in_cells():
    said = "布の上の石は青く見える。 " * 12
    assert max(width(line) for line in shown(Sentence(said), columns=40).split("\n")) <= 40


def test_a_name_cannot_steer_the_terminal():
    assert "\x1b" not in shown(Sentence("a\x1b[31mred"), Item("b\x1b]0;x"), Literally("c\x1b"))


def test_patches_touch_and_are_left_out_where_colours_are_not_true():
    both = Patches((Patch("swatch", "#2a4b9c"), Patch("stone", "#102030")))
    assert shown(both) == ""
    drawn = shown(both, true_colour=True)
    assert drawn.count("\x1b[48;2;") == 2
    assert drawn.endswith(" swatch and stone")


def test_the_way_from_the_swatch_is_drawn_where_colours_are():
    found = leeway(made(glow=(58.0, 8.0, -42.0), swatch=(40.0, 10.0, -40.0)))
    assert shown(Way(found)) == ""
    pointed, spanned = unstyle(shown(Way(found), true_colour=True)).split("\n")
    assert spanned.startswith("┗━")
    assert spanned[pointed.index("▼")] in "╍┛"


def test_a_warning_says_what_to_do_until_it_is_accepted_everywhere():
    one = Warned("severe", "It drifts.", "Choose another.", "glow-drifts")
    assert "What to do: Choose another." in shown(one)
    by = Warned(
        "severe", "It drifts.", "Choose another.", accepted=("Accepted by Ada: tried it",), settled=True
    )
    assert "What to do" not in shown(by)
    assert "Accepted by Ada" in shown(by)


def test_a_command_goes_on_over_lines_as_a_shell_reads_them():
    options = {"--stone": "pulley blue", "--coating": None, "--json": True, "--venue": "theatre" * 6}
    said = shown(Command("try", options))
    assert "'pulley blue'" in said
    assert "--coating" not in said
    assert "--json" in said
    assert all(line.endswith(" \\") for line in said.split("\n")[:-1])


def test_sections_stand_a_blank_line_apart_and_empty_ones_not_at_all():
    assert section("Empty", [None]) is None
    said = text(document("Title", [section("A", [Item("one"), Item("two")]), None]), Page())
    assert said.replace("\x1b[1m", "").replace("\x1b[0m", "") == "Title\n\nA\n  one\n  two"


@pytest.mark.parametrize(("share", "eighths"), [(0.0, 1), (0.5, 120), (1.0, 240)])
def test_a_bar_is_as_long_as_its_share(share, eighths):
    drawn = shown(Section("", (Bar(share),)))
    assert 8 * drawn.count("█") + " ▏▎▍▌▋▊▉".find(drawn[-1]) * (drawn[-1] != "█") == eighths


def test_json_has_no_nan_and_no_minus_nought():
    data = {"a": float("nan"), "b": -0.00001, "c": [1, 2.123456, True, None], "d": {"e": "ü"}}
    assert json.loads(json_text(Document("", (), data))) == {
        "a": None, "b": 0.0, "c": [1, 2.1235, True, None], "d": {"e": "ü"},
    }  # fmt: skip
    assert "-0" not in json_text(Document("", (), data))


def test_several_columns_that_fold_share_the_room_and_begin_together():
    columns = (
        Column(""),
        Column("舞台の照明、客席から", folds=True),
        Column("Overcast noon, outdoors", folds=True),
    )
    rows = (
        Row(("drift", "much lighter, slightly greener, more vivid", "さくら色の石は布より明るい")),
        Row(("holds", "no", "yes")),
    )
    lines = shown(Table(columns, rows), columns=44).split("\n")
    assert max(map(width, lines)) <= 44
    drift = next(line for line in lines if line.startswith("drift"))
    assert "much lighter" in drift
    assert "さくら" in drift
    second = width(drift[: drift.index("さくら")])
    assert width(lines[-1][: lines[-1].index("yes")]) == second


@pytest.mark.parametrize("part", [Sentence, Item])
def test_a_colour_stands_before_its_words_where_there_are_colours_and_they_wrap_alike(part):
    said = "pulley-blue: deep blue, known to within a few units nine times in ten, as it was photographed"
    bare, plain_too = shown(part(said), columns=40), shown(part(said, hex="#102030"), columns=40)
    assert bare == plain_too
    seen = shown(part(said, hex="#102030"), columns=40, true_colour=True)
    assert "\x1b[48;2;16;32;48m   \x1b[0m pulley" in seen
    lines = unstyle(seen).split("\n")
    assert " ".join(unstyle(seen).split()) == said
    assert max(map(len, lines)) <= 40
    assert {line.index(line.split()[0]) for line in lines[1:]} == {0 if part is Sentence else 4}


def test_a_picture_is_in_colours_where_there_are_colours_and_else_in_letters():
    pixels = np.array([[[1, 2, 3]] * 2, [[4, 5, 6]] * 2], np.uint8)
    drawn = Drawn(("ab",), pixels)
    assert shown(drawn) == "ab"
    assert shown(drawn, true_colour=True) == "\x1b[38;2;1;2;3m\x1b[48;2;4;5;6m▀▀\x1b[0m"
