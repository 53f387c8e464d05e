"""The client's page on the screen: it is read, chosen, and saved where nothing else is lost."""

import asyncio
from datetime import date
from pathlib import Path

import pytest
from PIL import Image
from textual.app import App
from textual.widgets import Button, Input

from planner.app.brief.screen import BriefScreen, _path
from planner.app.second_process import SameProcess
from planner.app.state import state_of
from planner.brief import page
from planner.brief.pictures import Pictures, png
from planner.data import demo
from planner.reading.matter import QUICK


@pytest.fixture(autouse=True)
def _quickly_drawn(monkeypatch):
    grey = png(Image.new("RGB", (8, 8), "#808080"))
    monkeypatch.setattr(page, "pictures", lambda *_, **__: Pictures(grey, grey))


class Stage(App[None]):
    """An app that holds a state and shows the screen."""

    def __init__(self, state):
        super().__init__()
        self.state = state
        self.screen_made = BriefScreen(self, SameProcess(), today=date(2031, 1, 10), grade=QUICK)

    def apply(self, state):
        self.state = state

    def on_mount(self):
        self.push_screen(self.screen_made)


@pytest.fixture
def stage(few, saved):
    def make(**changes):
        state = state_of(saved.job, few, saved, saved.path)
        return Stage(state.with_job(**changes) if changes else state)

    return make


def run(app, story, size=(80, 24)):
    async def tell():
        async with app.run_test(size=size) as pilot:
            screen = app.screen_made

            async def settle():
                for _ in range(3000):
                    await pilot.pause(0.01)
                    if screen.idle and not any(one.group == "write" for one in screen.workers):
                        await pilot.pause()
                        return
                raise AssertionError("no page")

            await settle()
            await story(pilot, screen, settle)

    asyncio.run(tell())


def read(screen):
    return screen.query_one("#brief-text").render().plain


def says(screen):
    return screen.query_one("#brief-says").render().plain


def test_what_is_read_is_what_the_file_says(stage):
    """Every sentence of the text for e-mail is on the screen, warnings and all."""

    async def story(_pilot, screen, _settle):
        shown = "".join(read(screen).split())
        data = screen.found.brief.whole
        for block in data["blocks"]:
            for text in (block["verdict"], *block["says"], block["sure"], block["heading"]):
                assert "".join(text.split()) in shown
            for one in block["warnings"]:
                assert "".join(one["text"].split()) in shown
        for text in (*data["limits"], data["sign"]["text"], data["invented"]["why"]):
            assert "".join(text.split()) in shown

    run(stage(), story)


def test_saved_in_each_form_and_told_where(stage, saved):
    async def story(pilot, screen, settle):
        for key, form, begins in (("d", "pdf", b"%PDF"), ("i", "png", b"\x89PNG"), ("t", "txt", b"INVENTED")):
            await pilot.press(key)
            await pilot.pause()
            await pilot.press("enter")
            await settle()
            path = saved.path.with_name(f"hoop-brief.{form}")
            assert path.read_bytes().startswith(begins)
            assert str(path) in says(screen)
        await pilot.press("m")
        await pilot.pause()
        await pilot.press("enter")
        await settle()
        with Image.open(saved.path.with_name("hoop-phone.png")) as tall:
            assert tall.width == page.PHONE
            assert tall.height > tall.width

    run(stage(), story)


def test_a_quote_is_asked_for_printed_and_left_out_again(stage):
    async def story(pilot, screen, settle):
        await pilot.press("k")
        await pilot.pause()
        form = pilot.app.screen
        for name, text in (("rate", "30"), ("hours", "10"), ("charges", "fitting 40"), ("deposit", "50"),
                           ("not_known", "alterations"), ("valid_until", "14 March 2031")):  # fmt: skip
            form.query_one(f"#entry-{name}", Input).value = text
        await pilot.press("enter")
        await settle()
        shown = read(screen)
        # Ten hours at 30, and 40 for the fitting: half of 340 is due first.
        assert "340" in shown
        assert "170" in shown
        assert "alterations" in shown
        assert pilot.app.state.job.quote.deposit == 0.5
        await pilot.press("k")
        await settle()
        assert "alterations" not in read(screen)

    run(stage(), story)


def test_nothing_is_written_over_unasked(stage, saved):
    path = saved.path.with_name("hoop-brief.txt")
    path.write_text("mine", encoding="utf-8")

    async def story(pilot, screen, settle):
        await pilot.press("t")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("enter")  # the focus is on leaving it
        await pilot.pause()
        assert path.read_text(encoding="utf-8") == "mine"
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("y")
        await settle()
        assert "Hoop act" in path.read_text(encoding="utf-8")
        assert "Saved" in says(screen)

    run(stage(), story)


def test_where_nothing_can_be_written_one_sentence_says_so(stage, saved):
    async def story(pilot, screen, settle):
        await pilot.press("t")
        await pilot.pause()
        pilot.app.screen.query_one(Input).value = str(saved.path.parent / "nowhere" / "b.txt")
        await pilot.press("enter")
        await settle()
        assert "there is no folder" in says(screen)
        await pilot.press("escape")
        await settle()
        assert says(screen) == "Nothing was saved."

    run(stage(), story)


def test_choices_change_the_page_with_keys_and_mouse(stage, saved):
    async def story(pilot, screen, settle):
        assert [one["number"] for one in screen.found.brief.whole["blocks"]] == [1, 2]
        await pilot.press("1")
        await settle()
        # It is not safe alone, so that something safer stands beside it.
        assert [one["number"] for one in screen.found.brief.whole["blocks"]] == [2, 0]
        await pilot.press("2")
        assert "At least" in says(screen)
        await pilot.click("#full-1")
        await settle()
        assert [one["number"] for one in screen.found.brief.whole["blocks"]] == [2, 1]
        assert "Only after dress rehearsal" not in read(screen)
        await pilot.press("n")
        await settle()
        assert "Only after dress rehearsal" in read(screen)
        await pilot.click("#paper")
        await settle()
        assert pilot.app.state.job.paper == "Letter"
        assert screen.found.pages[0].size == (340, 440)
        await pilot.press("p")
        assert "order screen" in says(screen)

    run(stage(note="Only after dress rehearsal."), story, (130, 40))


def test_prices_come_from_the_offers_of_the_job(stage, saved, few):
    path = saved.path.with_name("offers.csv")
    path.write_bytes((demo() / "offers.csv").read_bytes())

    async def story(pilot, screen, settle):
        assert "Stones with delivery" in read(screen), says(screen)
        await pilot.press("p")
        await settle()
        assert "Stones with delivery" not in read(screen)
        assert "All here by" in read(screen)
        await pilot.press("k")
        await pilot.pause()
        await pilot.press("ctrl+s")
        await settle()
        assert "Stones with delivery" in read(screen), "a quote tells them"
        await pilot.press("p")
        assert "leave it out first" in says(screen)

    area = {"name": "Yoke", "shape": "rectangle", "width_cm": 20, "height_cm": 9, "pattern": "scatter",
            "spacing_mm": 9, "mix": {"yoke": 1}}  # fmt: skip
    lines = stage().state.job.lines
    lines = (lines[0], lines[1].model_copy(update={"name": "yoke"}))
    run(stage(offers="offers.csv", lines=lines, areas=(area,)), story)


def test_offers_that_give_no_price_are_told_of(stage, saved):
    saved.path.with_name("offers.csv").write_bytes((demo() / "offers.csv").read_bytes())

    async def story(_pilot, screen, _settle):
        assert "Stones with delivery" not in read(screen)
        assert "nothing to price" in says(screen)  # no area takes stones

    run(stage(offers="offers.csv"), story)


def test_a_job_without_a_page_says_why(stage):
    async def story(pilot, screen, settle):
        assert "There is no page: field locale" in read(screen)
        await pilot.press("d")
        assert "no page to save" in says(screen)

    run(stage(locale="xx_YY"), story)


def test_the_key_and_the_way_back(make_app, play):
    async def story(pilot, _settle):
        app = pilot.app
        await pilot.press("B")
        for _ in range(200):
            await pilot.pause(0.01)
            if isinstance(app.screen, BriefScreen):
                break
        assert isinstance(app.screen, BriefScreen)
        assert app.screen.query_one("#paper", Button).label.plain == "a Paper A4"
        await pilot.press("escape")
        await pilot.pause()
        assert app.screen is app.main

    play(make_app(), story)


def test_the_root_of_all_folders_gets_no_ending():
    """It has no name to lengthen; what is written there is refused by its form."""
    assert _path("/", ".pdf") == Path("/")
    assert _path("/srv/page", ".pdf") == Path("/srv/page.pdf")
