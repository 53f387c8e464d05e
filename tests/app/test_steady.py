"""Keys that come faster than screens, names with brackets in them: nothing ends the planner."""

from dataclasses import replace
from pathlib import Path

import pytest
from campaigns import WHOLE
from fumbling import press_at_once
from textual.events import MouseDown, Resize
from textual.geometry import Offset, Size
from textual.widgets import Static
from waiting import too_late, until

from planner.app.choose.screen import SwatchScreen
from planner.app.form.entry import Entry
from planner.app.form.screen import FormScreen
from planner.app.job_holder import redone, undone
from planner.app.order.file_screen import FileScreen
from planner.app.order.order_actions import rates_from
from planner.app.palette_app import Shown
from planner.app.parts.find import FindLine
from planner.app.parts.steady import SteadyScreen, SteadySheet
from planner.app.photo.files import is_file
from planner.app.start import StartScreen
from planner.app.state import new_state
from planner.catalogue import load
from planner.colour.screen import ink_on, parse_hex
from planner.data import demo
from planner.job import JobFile, new_job_file, read_job_file

DRAWN_AT_ONCE = PICTURES = True

WAYS = "jAvsoepBfxrS"
"""Keys that open screens."""


@pytest.mark.parametrize("key", ["enter", "n", "o", "escape"])
def test_a_key_held_down_at_the_start_does_not_end_the_planner(make_app, play, key):
    app = make_app(start=True)

    async def story(pilot, _settle):
        await pilot.pause()
        for _ in range(4):
            press_at_once(app, [key] * 12)
            await pilot.pause()

    play(app, story)


@pytest.mark.campaign
@pytest.mark.parametrize("ways", [WAYS[:4], WAYS[4:8], WAYS[8:]] if WHOLE else [WAYS[::3]])
def test_enter_held_down_ends_no_screen_twice(make_app, play, ways):
    app = make_app()

    async def story(pilot, _settle):
        for way in ways:
            press_at_once(app, [way, *["enter"] * 10])
            await pilot.pause()
            press_at_once(app, [*["escape"] * 6, way, *["enter", "escape"] * 4])
            await pilot.pause()
            await back(app, pilot)

    play(app, story)


async def back(app, pilot):
    """Go back to the main screen by the one key that leads there."""
    for _ in range(40):
        if app.screen is app.main and not app.main.picking:
            return
        await pilot.press("escape")
        await pilot.pause()
    raise AssertionError(f"no way back from {app.screen}")


def test_before_you_go_typed_fast_ends_in_no_fault(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        await pilot.press("plus")
        await settle()
        press_at_once(app, ["q", "s", "e", "s", "e"])
        await pilot.pause()

    play(app, story)


def test_a_new_costume_asked_for_twice_is_begun_once_and_its_swatch_kept(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        press_at_once(app, ["ctrl+n", "ctrl+n"])
        await pilot.pause()
        assert sum(isinstance(one, StartScreen) for one in app.screen_stack) == 1
        await pilot.press("n", "d")
        await pilot.pause()
        assert isinstance(app.screen, SwatchScreen)
        await pilot.press("down", "enter", "down", *"rink", "enter")
        await until(pilot, lambda: app.screen is app.main and app.state.job.title == "New costume")
        await settle()
        assert app.state.job.swatch == list(app.palette.swatches)[1]

    play(app, story)


def test_a_job_with_a_rate_can_be_changed_and_kept(make_app, play, job, tmp_path, few):
    path = tmp_path / "pounds.toml"
    path.write_text(
        new_job_file(path, job).source.text.replace("[[line]]", "rates = { GBP = 1.17 }\n\n[[line]]", 1)
    )
    file = read_job_file(path)
    app = make_app()
    app.state = type(app.state)(few, type(app.state.history)((file.job,)), 1, file.job, file)

    async def story(pilot, settle):
        await pilot.press("plus")
        await settle()
        app.keep()
        assert app.drafts.path is not None
        kept = read_job_file(app.drafts.path).job
        assert kept == app.state.job
        assert dict(kept.rates) == dict(file.job.rates)

    play(app, story)


def test_rates_typed_for_an_order_are_written_as_numbers(saved):
    two = saved.job.model_copy(update=rates_from(saved.job, {"GBP": "1,17", "USD": "0.92"}))
    after: JobFile = saved.with_job(two)
    assert "1.17" in after.source.text
    assert after.job.rates == two.rates


def test_no_widget_takes_markup(make_app, play):
    app = make_app()

    async def story(_pilot, _settle):
        assert not any(one._render_markup for one in app.screen.query(Static))

    play(app, story)


def contrast(ink, paper):
    """Contrast ratio of two colours (WCAG 2.1, "relative luminance" and "contrast ratio")."""
    lights = []
    for one in (ink, paper):
        scaled = parse_hex(one) / 255.0
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in scaled]
        lights.append(0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2])
    return (max(lights) + 0.05) / (min(lights) + 0.05)


def test_ink_is_the_one_of_the_higher_contrast():
    # WCAG's own example: black on white is 21:1. Near the crossover the two are equal, and either is right.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    steps = [f"{number:02x}" for number in range(0, 256, 15)]
    for paper in (f"#{r}{g}{b}" for r in steps for g in steps for b in steps):
        other = {"#000000": "#ffffff", "#ffffff": "#000000"}[ink_on(paper)]
        assert contrast(ink_on(paper), paper) >= contrast(other, paper) - 0.02


@pytest.mark.parametrize("depth", ["true", "256", "16", "grey"])
def test_an_old_answer_is_shown_paler_in_few_colours_too(depth, make_app, play):
    app = make_app(depth=depth)

    async def story(pilot, _settle):
        app.main.show_old(old=True)
        await until(pilot, lambda: app.main.query_one("#words").opacity < 1.0)
        app.main.show_old(old=False)
        await until(pilot, lambda: app.main.query_one("#words").opacity == 1.0)

    play(app, story)


def test_a_click_on_what_was_just_taken_off_the_screen_does_nothing(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        gone = Static("gone")
        await app.main.mount(gone)
        await gone.remove()
        app.main.get_widget_and_offset_at = lambda *_: (gone, Offset(0, 0))
        app.main._forward_event(MouseDown(None, 1, 1, 0, 0, 1, False, False, False))
        await pilot.pause()

    play(app, story)


def test_a_costume_saved_before_the_main_screen_is_there_is_saved(make_app, play, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    app = make_app(start=True)

    async def story(pilot, _settle):
        before = app.screen
        await pilot.press("ctrl+s")
        await until(pilot, lambda: app.screen is not before)
        await pilot.press("enter")
        await until(pilot, lambda: list(tmp_path.glob("new*.toml")))

    play(app, story)
    (path,) = tmp_path.glob("new*.toml")
    assert read_job_file(path).job == app.state.job


class Late(SteadyScreen):
    """A screen that looks for its own widget when it is mounted."""

    def compose(self):
        yield Static(id="there")

    def on_mount(self):
        self.query_one("#there")


def test_a_screen_opened_while_the_planner_is_left_ends_nothing(make_app, play):
    app = make_app()

    async def story(_pilot, _settle):
        app.exit()
        app.push_screen(Late())
        app.run_worker(too_late())

    play(app, story)
    assert app.return_code == 0


def planner_left(screen):
    """Stop the app as leaving it does: no widget that is made from now on is begun."""
    screen.app._running = False


@pytest.mark.parametrize("leave", [StartScreen.remove, planner_left])
@pytest.mark.parametrize(
    ("screen", "given"),
    [
        (StartScreen, ((), "true")),
        (FormScreen, ("A form", [Entry("name", "Name", "Any.", "", str)])),
    ],
)
def test_a_screen_left_while_it_is_made_looks_for_no_widget(make_app, play, leave, screen, given):
    class Left(screen):
        def compose(self):
            yield from super().compose()
            leave(self)

    app = make_app()

    async def story(_pilot, _settle):
        made = Left(*given)
        app.push_screen(made)
        await made._mounted_event.wait()

    play(app, story)


def test_a_message_whose_time_is_up_before_it_is_drawn_does_not_stop_the_planner(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        app.notify("Too late.", timeout=-1.0)
        await pilot.pause(0.3)
        shown = Shown("Too late.", timeout=-1.0)
        assert shown.has_expired
        assert shown.time_left > 0

    play(app, story)


def test_two_sizes_at_once_are_not_laid_out_in_turn_for_ever(make_app, play):
    # A window that is dragged is told of many sizes, and the next often comes before one is laid out.
    app, laid_out = make_app(), []

    async def story(pilot, settle):
        await settle()
        whole = app.main._refresh_layout

        def counted(*given, **more):
            laid_out.append(given)
            if len(laid_out) > 100:
                raise AssertionError("it goes on and on")
            whole(*given, **more)

        app.main._refresh_layout = counted
        for size in (Size(40, 12), Size(20, 6)):
            app.main.post_message(Resize(size, size))
            app.main.call_later(lambda: None)  # one of two sizes side by side would be dropped by the library
        for _ in range(20):
            await pilot.pause(0.01)
        assert app.main.size == app.size

    play(app, story)


def test_a_key_held_down_opens_one_form(make_app, play):
    # Forty forms on top of each other could not be drawn, and ended the planner.
    app = make_app()

    async def story(pilot, settle):
        await settle()
        for way in ("S", "D", "r", "A"):
            await pilot.press(way)
            await until(pilot, lambda: app.screen is not app.main)
            before = len(app.screen_stack)
            press_at_once(app, ["a"] * 12)
            for _ in range(20):
                await pilot.pause(0.02)
            assert len(app.screen_stack) == before + 1, way
            await back(app, pilot)

    play(app, story)


@pytest.mark.parametrize("ways", [("j", "f"), ("B", "ctrl+o")])
def test_a_key_held_down_goes_to_one_place(make_app, play, ways):
    # Twenty costumes on top of each other could not be drawn either, and ended the planner.
    app = make_app()

    async def story(pilot, settle):
        await settle()
        for way in ways:
            press_at_once(app, [way] * 12)
            await until(pilot, lambda: app.screen is not app.main)
            for _ in range(10):
                await pilot.pause(0.02)
            assert app.screen_stack[-2] is app.main, way
            await pilot.press("escape")
            await until(pilot, lambda: app.screen is app.main)

    play(app, story)


def test_a_key_pressed_as_its_screen_goes_does_not_end_the_planner(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        await settle()
        await pilot.press("f")
        await until(pilot, lambda: app.screen is not app.main)
        order = app.screen
        # Who asks waits for what goes, is let go with its screen, and must not stop its going.
        order.run_worker(app.push_screen_wait(SteadySheet()))
        order.dismiss(None)
        await until(pilot, lambda: not order.is_attached)
        assert app.screen is app.main
        assert app.is_running

    play(app, story)


def test_what_was_to_be_done_soon_is_let_go_once_the_screen_is_left(make_app, play):
    app, done = make_app(), []

    async def story(pilot, settle):
        await settle()
        await pilot.press("p")
        await pilot.pause()
        pairings = app.screen
        pairings.soon(lambda: done.append("here"))
        await until(pilot, lambda: done == ["here"])
        pairings.soon(lambda: done.append("gone"))
        pairings.dismiss(None)
        await pilot.pause(0.1)
        assert done == ["here"]

    play(app, story)


@pytest.mark.parametrize("typed", ["x" * 6000, "a\x00b", "~nobody/x", ""])
def test_what_no_system_takes_for_a_path_is_no_file(typed):
    assert not is_file(typed)
    assert not is_file(Path(typed))


ASK_FOR_FILES = {
    "#card-path": lambda app: app.action_go("samples"),
    "#photo-path": lambda app: app.push_screen(SwatchScreen(app.palette, "")),
    "#file-path": lambda app: app.push_screen(FileScreen("Offers", "A table.", frozenset({".csv"}), "")),
}


def test_a_name_longer_than_any_system_takes_can_be_typed_for_a_file(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        for line, ask in ASK_FOR_FILES.items():
            ask(app)
            await until(pilot, lambda line=line: app.screen.query(line))
            typed = app.screen.query_one(line, FindLine)
            typed.value = "x" * 6000
            await typed.action_submit()
            await pilot.pause()
            assert app.screen.query(line), line
            await back(app, pilot)

    play(app, story)


STEPS = {undone: ("bodice-red", "drape-black"), redone: ("drape-black", "bodice-red")}


@pytest.mark.parametrize("step", STEPS)
def test_no_step_is_taken_to_what_is_deleted_since(step):
    there, here = STEPS[step]
    palette, told = load(demo()), []
    state = new_state(palette).with_job(swatch="bodice-red").with_job(swatch="drape-black")
    before = state if step is undone else state.undo()
    assert before.job.swatch == here
    assert step(before, told.append).job.swatch == there
    left = {key: one for key, one in palette.swatches.items() if key != there}
    since = replace(before, palette=replace(palette, swatches=left))
    assert step(since, told.append) is None
    assert told == ["That step used an entry that has been deleted since. Bring it back first: S, then u."]
