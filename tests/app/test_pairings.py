"""The table of all pairings: filled at once, looked at in the background, sorted, narrowed and opened."""

import asyncio
from dataclasses import replace
from types import MappingProxyType

import pytest
from textual.app import App
from textual.widgets import Button, DataTable, Static

from planner.app.pairings import PairingsScreen, ranking
from planner.app.pairings.content import COLUMNS, GAP, widths
from planner.app.pairings.ranking import SHORT
from planner.app.second_process import ProcessLostError, SameProcess
from planner.catalogue.palette import load
from planner.data import demo
from planner.reading.instead import same_pairing
from planner.reading.matter import QUICK
from planner.reading.question import Question, colour_called
from planner.reading.rank import rank
from planner.reading.read import read
from planner.reading.verdict import MARKS
from planner.reading.warn import CODES, warnings

FULL = load(demo())
STONES = ("pulley-blue", "marlinspike-navy", "tackle-jet", "shackle-red", "tackle-clear", "cleat-azure")
COATINGS = ("halyard-aurora", "lining-aurora")
PALETTE = replace(
    FULL,
    stones=MappingProxyType({one: FULL.stones[one] for one in STONES}),
    coatings=MappingProxyType({one: FULL.coatings[one] for one in COATINGS}),
)
COUNT = len(STONES) * (len(COATINGS) + 1)
LEFT = object()
SAME = SameProcess()


class Ended(SameProcess):
    """The second process, as the system has ended it."""

    def reserved(self):
        return self

    def call(self, *_given):
        raise ProcessLostError("ended")


def question(**other):
    stone, venue = PALETTE.stones["pulley-blue"], PALETTE.venues["theatre"]
    swatch = colour_called("leotard-blue", PALETTE)
    asked = Question(stone, PALETTE.cuts[stone.cut], None, "SS20", swatch, swatch, venue, venue.distance)
    return replace(asked, **other)


class Host(App):
    """Opens the screen and keeps what it was left with."""

    def __init__(self, asked, second):
        super().__init__()
        self.asked, self.result, self.second = asked, LEFT, second

    def on_mount(self):
        self.push_screen(PairingsScreen(PALETTE, self.asked, self.second), self.keep)

    def keep(self, result):
        self.result = result


async def until(pilot, ready, seconds=60.0):
    for _ in range(int(seconds / 0.05)):
        if ready():
            return
        await pilot.pause(0.05)
    raise AssertionError("it never came about")


def run(story, size=(160, 40), looked=True, second=SAME, **other):
    async def main():
        app = Host(question(**other), second)
        async with app.run_test(size=size) as pilot:
            await until(pilot, lambda: app.screen.query("#table") and table(app).row_count)
            if looked:
                await until(pilot, lambda: not column(app, "warning").count("…"))
            return await story(app, pilot)

    return asyncio.run(main())


def table(app):
    return app.screen.query_one("#table", DataTable)


def column(app, key):
    """Return a column's cells as painted, top to bottom; empty where it is left out."""
    shown = table(app)
    if key not in shown.columns:
        return []
    return [shown.get_cell(row.key, key).plain.strip() for row in shown.ordered_rows]


def said(app, selector):
    return str(app.screen.query_one(selector, Static).content)


def test_every_pairing_is_there_best_first_and_the_first_is_opened_by_enter():
    async def story(app, pilot):
        stones, coatings = column(app, "stone"), column(app, "coating")
        await pilot.press("enter")
        return stones, coatings, app.result

    stones, coatings, opened = run(story, looked=False)
    ranked = rank(PALETTE, question())
    assert len(stones) == COUNT == len(ranked)
    assert stones == [one.question.stone.name for one in ranked]
    assert [one == "uncoated" for one in coatings] == [one.question.coating is None for one in ranked]
    assert same_pairing(opened, ranked[0].question)
    assert opened.venue == question().venue


def test_figures_are_those_of_the_ranking_and_words_those_of_a_full_reading():
    async def story(app, _pilot):
        return {key: column(app, key) for key in ("off", "batches", "result", "flash", "warning")}

    shown = run(story, size=(200, 60))
    for row, one in enumerate(rank(PALETTE, question())):
        assert shown["off"][row].split()[0] == MARKS[one.outcome]
        assert shown["off"][row].split()[1] == f"{one.dE00:.0f}"
        assert shown["batches"][row] == f"{round(10 * one.lots)}/10"
        assert one.seen.name in shown["result"][row]
        reading = read(one.question, QUICK)
        assert reading.flash.main in shown["flash"][row]
        concerns = warnings(reading)
        assert (SHORT[concerns[0].code] if concerns else "none") in shown["warning"][row]


def test_typing_narrows_the_table_by_the_beginnings_of_words():
    async def story(app, pilot):
        await pilot.press(*"navy uncoa")
        await pilot.pause()
        found, count = (column(app, "stone"), column(app, "coating")), said(app, "#count")
        await pilot.press("enter")
        return found, count, app.result

    (stones, coatings), count, opened = run(story, looked=False)
    assert stones == ["Marlinspike navy"]
    assert coatings == ["uncoated"]
    assert count == f"1 of {COUNT}"
    assert opened.stone.id == "marlinspike-navy"
    assert opened.coating is None


def test_nothing_found_is_said_and_opens_nothing():
    async def story(app, pilot):
        await pilot.press(*"xyzzy", "enter")
        await pilot.pause()
        return said(app, "#detail"), app.result

    detail, result = run(story, looked=False)
    assert detail.startswith("Nothing fits")
    assert result is LEFT


def test_keys_narrow_to_coated_uncoated_and_one_material():
    async def story(app, pilot):
        found = []
        for key in ("ctrl+t", "ctrl+t", "ctrl+t", "ctrl+g"):
            await pilot.press(key)
            await pilot.pause()
            found.append(
                (len(column(app, "stone")), set(column(app, "coating")), set(column(app, "material")))
            )
        return found

    coated, bare, both, one = run(story, looked=False, size=(200, 60))
    assert coated[0] == 2 * len(STONES)
    assert "uncoated" not in coated[1]
    assert bare[:2] == (len(STONES), {"uncoated"})
    assert both[0] == COUNT
    assert len(one[2]) == 1


def test_the_mouse_alone_narrows_sorts_and_opens():
    async def story(app, pilot):
        await pilot.click("#coated")
        await pilot.pause()
        narrowed = len(column(app, "stone"))
        await pilot.click("#table", offset=(2, 0))
        await pilot.pause()
        rising = column(app, "stone")
        await pilot.click("#table", offset=(2, 0))
        await pilot.pause()
        falling = column(app, "stone")
        await pilot.click("#table", offset=(2, 3))
        await pilot.pause()
        assert app.result is LEFT, "the first click only shows it"
        await pilot.click("#table", offset=(2, 3))
        await pilot.pause()
        return narrowed, rising, falling, app.result

    narrowed, rising, falling, opened = run(story, looked=False)
    assert narrowed == 2 * len(STONES)
    assert rising == sorted(rising, key=str.lower)
    assert falling == rising[::-1]
    assert opened.stone.name == falling[2]


BY = {
    "stone": lambda one: one.question.stone.name.lower(),
    "off": lambda one: one.dE00,
    "batches": lambda one: -one.lots,
    "material": lambda one: one.question.stone.material,
    "size": lambda one: one.question.millimetres,
}


def test_every_column_sorts_by_keys_both_ways_and_then_the_best_come_first_again():
    async def story(app, pilot):
        found = {}
        for key in [one.value for one in table(app).columns]:
            orders = []
            await pilot.press("ctrl+o")
            for _ in range(2):
                orders.append([one.ranked for one in app.screen._shown])
                await pilot.press("ctrl+r")
            marked = [one.key.value for one in table(app).ordered_columns if str(one.label)[-1] in "▲▼"]
            found[key] = (*orders, marked)
        await pilot.press("ctrl+o")
        return found, said_order(app), [one.ranked.standing for one in app.screen._shown]

    found, order, standing = run(story, size=(200, 60))
    assert list(found) == [column.key for column in COLUMNS]
    for key, (rising, falling, marked) in found.items():
        assert len(rising) == len(falling) == COUNT
        assert rising != falling or key == "size"
        assert marked == [key]
        if key in BY:
            values = [BY[key](one) for one in rising]
            assert values == sorted(values)
            assert [BY[key](one) for one in falling] == sorted(values, reverse=True)
    assert order.startswith("Best for your wish first")
    assert standing == sorted(standing)


def said_order(app):
    return str(app.screen.query_one("#detail").border_title)


def test_the_pairing_under_the_cursor_is_told_in_words_with_its_worst_warning():
    async def story(app, pilot):
        await pilot.press("down", "down", "down")
        await pilot.pause()
        return said(app, "#detail"), app.screen._current()

    detail, entry = run(story)
    assert entry.look.sentence in detail
    for concern in entry.look.concerns[:1]:
        assert concern.text in detail


@pytest.mark.parametrize("room", [40, 77, 100, 117, 157, 197])
def test_columns_fit_and_the_important_ones_stay(room):
    found = widths(room)
    assert sum(found.values()) + GAP * (len(found) - 1) <= room
    assert list(found)[:2] == ["stone", "coating"]
    if room >= 77:
        assert {"result", "off", "batches", "warning"} <= set(found)
    if room >= 157:
        assert len(found) == len(COLUMNS)


def test_resizing_chooses_columns_anew():
    async def story(app, pilot):
        wide = len(table(app).columns)
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        return wide, len(table(app).columns), len(column(app, "stone"))

    assert run(story, looked=False, size=(200, 60)) == (len(COLUMNS), 6, COUNT)


def test_coming_back_shows_the_ranking_at_once_and_another_swatch_does_not(monkeypatch):
    run_once = []
    real = ranking.rank
    monkeypatch.setattr(ranking, "rank", lambda *given, **named: run_once.append(1) or real(*given, **named))

    async def story(_app, _pilot):
        return None

    same = question(distance=7.25)
    run(story, looked=False, distance=7.25)
    first = len(run_once)
    assert first
    run(story, looked=False, swatch=same.swatch, distance=7.25)
    assert len(run_once) == first
    run(story, looked=False, swatch=colour_called("bodice-red", PALETTE), distance=7.25)
    assert len(run_once) == 2 * first


def test_leaving_in_the_middle_stops_the_work(monkeypatch):
    done = []
    real = ranking.rank
    monkeypatch.setattr(ranking, "rank", lambda *given, **named: done.append(1) or real(*given, **named))

    async def main():
        app = Host(question(distance=3.5), SAME)
        async with app.run_test(size=(80, 24)) as pilot:
            await until(pilot, lambda: done)
            await pilot.press("escape")
            await pilot.pause()
            return app.result

    assert asyncio.run(main()) is None
    assert len(done) <= len(COATINGS) + 1


def test_every_warning_has_short_words():
    assert set(SHORT) == set(CODES)


def test_without_colour_marks_and_words_carry_everything(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")

    async def story(app, _pilot):
        return column(app, "off"), column(app, "warning"), said(app, "#caveat")

    off, warning, caveat = run(story)
    assert all(one[0] in "✓~✗" for one in off)
    assert all(one[0] in "▲●·n" for one in warning)
    assert "NO_COLOR" in caveat


def test_a_button_says_what_is_chosen():
    async def story(app, pilot):
        await pilot.click("#material")
        await pilot.pause()
        return str(app.screen.query_one("#material", Button).label)

    assert run(story, looked=False) in {stone.material for stone in PALETTE.stones.values()}


def test_a_look_that_comes_while_the_screen_grows_finds_the_columns_that_are_there():
    async def story(app, pilot):
        screen = app.screen
        few, wide = len(table(app).columns), widths(300)
        assert len(wide) > few
        screen._widths = lambda: wide
        screen._show_look(screen.Looked(screen._shown[0]))
        await pilot.pause()
        return few == len(table(app).columns)

    assert run(story, size=(60, 20), looked=False)


def test_where_the_second_process_has_ended_all_are_ranked_all_the_same():
    ranking._ranked.clear()

    async def story(app, _pilot):
        return table(app).row_count

    assert run(story, second=Ended()) == COUNT
