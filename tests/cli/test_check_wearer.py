"""`planner check` puts the wearer first: severe cautions count as severe warnings do."""

import json

import pytest

from planner.data import demo

HEAD = 'title = "Hoop"\nswatch = "drape-black"\nvenues = ["theatre"]\ntolerance = 50\nwearer = "{}"\n'
LEAD = '[[line]]\nstone = "treadle-blue"\nsize = "SS16"\nwish = "contrast"\n'


@pytest.fixture
def check(planner, tmp_path):
    """Return a function that checks a job of one lead crystal line on the demo palette."""

    def run(wearer, code=None, status=None, *more):
        path = tmp_path / "job.toml"
        accept = f'accept = [{{ code = "{code}", who = "Ada", why = "Seen." }}]\n' if code else ""
        path.write_text(HEAD.format(wearer) + LEAD + accept, encoding="utf-8")
        return planner(
            "check", path, "--palettes", demo(), "--grade", "quick", *more, status=status, quick=False
        )

    return run


def test_for_an_adult_lead_is_a_note(check):
    data = json.loads(check("adult", None, 0, "--json").stdout)
    assert [(one["code"], one["severity"]) for one in data["wearer"]] == [("lead-handled", "note")]
    assert data["ok"] is True


def test_lead_for_a_child_of_12_or_younger_stands_until_somebody_accepts_it(check):
    shown = check("12 or younger", None, 1).stdout
    assert shown.index("lead-12-or-younger") < shown.index("Line 1:")
    assert "lead-12-or-younger stands for line 1." in shown
    assert 'accept = [{ code = "lead-12-or-younger"' in shown
    shown = check("12 or younger", "lead-12-or-younger", 0).stdout
    assert "Accepted for line 1 by Ada: Seen." in shown
    assert "accepted by Ada (Seen.), but" not in " ".join(shown.split())


def test_small_parts_for_a_child_under_3_cannot_be_accepted(check):
    shown = " ".join(check("under 3", "small-parts-under-3", 1).stdout.split())
    assert "Nobody can accept it." in shown
    assert "small-parts-under-3: accepted by Ada (Seen.), but nobody can accept that" in shown
    data = json.loads(check("under 3", "small-parts-under-3", 1, "--json").stdout)
    assert data["ok"] is False
    assert {one["code"] for one in data["wearer"] if one["standing"]} == {
        "small-parts-under-3",
        "lead-under-3",
    }
