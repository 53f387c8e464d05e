"""The drawer: lots kept, what they were seen as, and the question for more of one."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from planner.catalogue.palette import load
from planner.cli import main
from planner.data import demo
from planner.order.drawer import drawer_beside, drawer_file, owned, read_drawer, same_lot
from planner.order.stock import Lot
from planner.refusal import Refusal

PALETTE = load(demo())


@pytest.fixture(autouse=True)
def _own(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def lot(**changes):
    data = {"stone": "pulley-blue", "coating": "halyard-aurora", "size": "SS20", "count": 144}
    return Lot(**{**data, "seller": "Stall 4", "number": "L-204", **changes})


TEAL = {"seen": "#1f7f86"}


def kept(*lots):
    drawer = read_drawer(drawer_file(), PALETTE)
    for one in lots:
        drawer = drawer.with_lot(one)
    drawer_file().parent.mkdir(parents=True, exist_ok=True)
    return drawer.save()


def test_lots_are_added_and_changed_and_a_persons_comment_stays():
    drawer = kept(lot(), lot(size="SS16"))
    drawer_file().write_text(f"# mine\n{drawer.source.text}", encoding="utf-8")
    again = read_drawer(drawer_file(), PALETTE).with_lot(lot(count=80), 0).save()
    assert [one.count for one in read_drawer(drawer_file(), PALETTE).lots] == [80, 144]
    assert again.source.text.startswith("# mine\n")


def test_the_question_names_what_was_bought_its_lot_and_its_colour():
    (one,) = owned(kept(lot(**TEAL)), PALETTE)
    said = same_lot(one, 72)
    for words in ("Pulley blue", "Halyard aurora", "SS20", "L-204", "72 more", "same lot"):
        assert words in said
    # #1f7f86 is a teal to everybody: a bluish green or greenish blue in the standard's words.
    assert "green" in said
    assert "blu" in said
    assert "None" not in same_lot(owned(kept(lot(number="")), PALETTE)[-1])


def test_the_command_shows_the_lots_and_prints_the_question():
    kept(lot(), lot(size="SS16"))
    shown = CliRunner().invoke(main, ["drawer", "--json"])
    assert [one["size"] for one in json.loads(shown.output)["lots"]] == ["SS20", "SS16"]
    asked = CliRunner().invoke(main, ["drawer", "--more", "2", "--count", "60"])
    assert "60 more" in asked.output
    assert CliRunner().invoke(main, ["drawer", "--more", "3"]).exit_code == 2


def test_a_damaged_drawer_is_one_sentence():
    drawer_file().parent.mkdir(parents=True)
    drawer_file().write_text('[[lot]]\nstone = "nothing"\nsize = "SS20"\ncount = 1\n', encoding="utf-8")
    with pytest.raises(Refusal, match="no such stone"):
        read_drawer(drawer_file(), PALETTE)


def test_an_order_takes_from_her_own_drawer_where_the_job_names_none():
    assert drawer_beside(None) is None
    kept(lot())
    assert drawer_beside(None) == drawer_file()
    assert drawer_beside(Path("other")) is None
