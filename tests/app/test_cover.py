"""The areas on the screen: filled in by keys and by mouse, refused in place, undone, seen from above."""

import re

import pytest
from test_screen_pictures import words
from waiting import until

from planner.app.cover.area_form import asked_for, entries, so_far, texts_of, with_area
from planner.app.cover.area_screen import AreaScreen
from planner.app.cover.content import standing
from planner.app.cover.screen import CoverScreen
from planner.app.form.screen import Asked
from planner.cover.count import counts
from planner.job import read_job_file
from planner.refusal import Refusal

BOW = {"name": "Bow", "shape": "rectangle", "width_cm": "10", "height_cm": "8", "pattern": "scatter",
       "spacing_mm": "10"}  # fmt: skip


async def ready(app, pilot):
    await until(pilot, lambda: app.screen.idle)


def with_bow(job, **texts):
    return with_area({**texts_of(None, job), **BOW, **texts}, job, None)[0]


@pytest.fixture
def bow_app(make_app, saved):
    app = make_app()
    after = with_bow(saved.job)
    app.state = app.state.with_job(lines=after.lines, areas=after.areas)
    return app


def test_by_keys_alone_an_area_is_added_counted_kept_and_undone(make_app, play, saved, screen_text):
    app = make_app()

    async def story(pilot, settle):
        await pilot.press("A")
        await pilot.pause()
        assert "Press a to add the first" in screen_text(app)
        await pilot.press("a", *"Bow", "down", "down", *"10", "down", *"8", "down", "down", *"10")
        assert "80 stones" not in screen_text(app)
        count = so_far(app.screen._now, saved.job, None).stones
        assert f"{count} stones" in screen_text(app)
        await pilot.press("enter")
        await pilot.pause()
        await ready(app, pilot)
        (area,) = app.state.job.areas
        assert (area.name, area.mix) == ("Bow", (("treadle-blue-ss20", 1.0),))
        assert app.state.job.lines[0].name == "treadle-blue-ss20"
        assert re.search(rf"Treadle blue, uncoated, SS20 +{count} ", screen_text(app))
        assert "common practice" in "".join(str(one.content) for one in app.screen.query("#work"))
        app.keep()
        assert read_job_file(app.drafts.path).job == app.state.job
        await pilot.press("u")
        assert app.state.job == saved.job
        await pilot.press("U", "minus")
        assert not app.state.job.areas
        await pilot.press("u")
        assert len(app.state.job.areas) == 1
        await pilot.press("escape")
        await settle()
        assert app.screen is app.main

    play(app, story)


def test_the_mouse_changes_an_area(bow_app, play):
    app = bow_app

    async def story(pilot, _settle):
        await pilot.click("#step-cover")
        await pilot.pause()
        await ready(app, pilot)
        await pilot.click("#areas", offset=(4, 0))
        await pilot.pause()
        assert isinstance(app.screen, AreaScreen)
        await pilot.click("#entry-spacing_mm")
        await pilot.press("end", "backspace", "backspace", *"20")
        await pilot.click("#keep")
        await pilot.pause()
        assert isinstance(app.screen, CoverScreen)
        assert app.state.job.areas[0].spacing_mm == 20.0

    play(app, story)


def test_what_was_typed_is_there_when_the_form_is_opened_again(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("A")
        await pilot.pause()
        await pilot.press("a", *"Bow", "enter")
        assert isinstance(app.screen, AreaScreen)
        await pilot.press("escape", "escape")
        await pilot.pause()
        assert not app.state.job.areas
        await pilot.press("escape", "A")
        await pilot.pause()
        await pilot.press("a")
        await pilot.pause()
        assert app.screen.texts["name"] == "Bow"

    play(app, story)


def test_only_the_measures_of_the_shape_are_asked(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("A")
        await pilot.pause()
        await pilot.press("a", "down", "end", *["backspace"] * 9, *"circle")
        await pilot.pause()
        shown = {one.entry.name for one in app.screen.query(Asked) if one.display}
        assert "width_cm" in shown
        assert not shown & {"height_cm", "length_cm", "surface_cm2", "end_spacing_mm"}

    play(app, story)


@pytest.mark.parametrize(
    ("shape", "pattern", "asked"),
    [
        ("sleeve", "full", {"top_around_cm", "bottom_around_cm", "length_cm"}),
        ("band", "single line", {"length_cm", "width_cm", "spacing_mm"}),
        ("Triangle", "gradient", {"width_cm", "height_cm", "spacing_mm", "end_spacing_mm"}),
        ("surface", "scatter", {"surface_cm2", "spacing_mm"}),
    ],
)
def test_shape_and_pattern_decide_what_is_asked(shape, pattern, asked, job):
    shown = asked_for({**texts_of(None, job), "shape": shape, "pattern": pattern})
    assert {one for one in shown if one.endswith(("_cm", "_cm2", "_mm"))} == asked


@pytest.mark.parametrize(
    ("name", "typed", "part"),
    [
        ("name", "", "needs a name"),
        ("shape", "blob", "rectangle, triangle"),
        ("pattern", "zigzag", "gradient"),
        ("width_cm", "", "filled in"),
        ("width_cm", "-4", "must be a number"),
        ("width_cm", "nan", "must be a number"),
        ("width_cm", "0", "above 0"),
        ("width_cm", "9999", "2000"),
        ("spacing_mm", "1e9", "must be a number"),
        ("times", "1.5", "whole number"),
        ("times", "0", "1"),
        ("stretch", "4", "at most 3"),
        ("part-0", "0", "above 0"),
        ("part-0", "lots", "must be a number"),
    ],
)
def test_a_field_refuses_bad_input_in_one_sentence(name, typed, part, job, few):
    texts = {**texts_of(None, job), **BOW, name: typed}
    said, wrong = next(one for one in entries(texts, job, few, None) if one.name == name).fault(typed)
    assert wrong
    assert part in said
    assert "\n" not in said


def test_stones_that_would_overlap_are_refused_before_they_are_kept(job):
    assert "2" in so_far({**texts_of(None, job), **BOW, "spacing_mm": "2"}, job, None)
    with pytest.raises(Refusal, match="SS20"):
        with_bow(job, spacing_mm="2")


def test_a_decimal_comma_is_understood_and_told(job, few):
    texts = {**texts_of(None, job), **BOW}
    field = next(one for one in entries(texts, job, few, None) if one.name == "width_cm")
    assert field.fault("7,5") == ("7.5, as it was understood", False)


def test_an_area_comes_back_from_the_form_as_it_was(job):
    made = with_bow(job, stretch="1.2", times="2", **{"part-1": "3"})
    area = made.areas[0]
    assert with_area(texts_of(area, made), made, area)[0] == made
    assert counts(made)[0].lines[1].stones > 2 * counts(made)[0].lines[0].stones


def test_lead_for_a_child_comes_first_on_both_screens(bow_app, play, screen_text, few):
    app = bow_app
    assert not standing(app.state.job, few)

    async def story(pilot, settle):
        app.main.apply(app.state.with_job(wearer="under 3"))
        await settle()
        words = screen_text(app)
        assert words.index("severe for the wearer") < words.index("s Stone")
        await pilot.press("A")
        await pilot.pause()
        await ready(app, pilot)
        assert "severe for the wearer" in screen_text(app).splitlines()[1]
        await pilot.press("w")
        await pilot.pause()
        assert "a child under 3" in screen_text(app)
        await pilot.press("escape", "z")
        await pilot.pause()
        assert "SS20" in "".join(str(one.content) for one in app.screen.query("Static"))

    play(app, story)


@pytest.mark.parametrize("depth", ["true", "grey"])
@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_areas_look_as_they_were_found_good(size, depth, bow_app, make_app, play, tmp_path):
    from test_screen_pictures import SCREENS

    app = make_app(depth=depth)
    app.state = bow_app.state
    taken = []

    async def story(pilot, _settle):
        await pilot.press("A")
        await pilot.pause()
        await ready(app, pilot)
        await ready(app, pilot)
        taken.append(app.export_screenshot())

    play(app, story, size=size)
    text = "\n".join(words(taken[0])) + "\n"
    path = SCREENS / f"cover-{size[0]}x{size[1]}-{depth}.txt"
    new = tmp_path / path.name
    new.write_text(text, encoding="utf-8")
    new.with_suffix(".svg").write_text(taken[0], encoding="utf-8")
    assert path.exists(), f"a new picture lies at {new}"
    assert text == path.read_text(encoding="utf-8"), f"a new picture lies at {new}"
