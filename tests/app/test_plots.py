"""The two drawings of a reading: what lies where, and what the words say; keyboard only and mouse only."""

import asyncio
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from textual.app import App
from textual.widgets import Static

from planner.app.parts.cells import characters, draw_line, set_dots
from planner.app.parts.ways import Ways
from planner.app.plots import PlotScreen
from planner.app.plots.curves import LEFT, Curves, column_of, curve_dots
from planner.app.plots.plane import Plane, View, drawn, view_of
from planner.catalogue.palette import load
from planner.colour.grid import WAVELENGTHS
from planner.data import demo
from planner.reading.matter import QUICK
from planner.reading.question import Question, coating_called, colour_called
from planner.reading.read import read
from planner.reading.spectrum import spectra

OPEN = object()


@cache
def reading(coating="halyard-aurora"):
    palette = load(demo())
    stone, venue = palette.stones["pulley-blue"], palette.venues["theatre"]
    swatch = colour_called("leotard-blue", palette)
    question = Question(
        stone, palette.cuts[stone.cut], coating_called(coating, palette), stone.sizes[0], swatch, swatch,
        venue, venue.distance,
    )  # fmt: skip
    return read(question, QUICK)


@pytest.fixture(autouse=True)
def _spectra_once(monkeypatch):
    """Work out the spectra of a reading once for all stories: they take most of the screen's time."""
    monkeypatch.setattr("planner.app.plots.screen.spectra", once)


@cache
def spectra_of(coating):
    return spectra(reading(coating).question, QUICK)


def once(question, grade):
    assert grade == QUICK
    return spectra_of(question.coating.id if question.coating else "none")


class Host(App):
    """Opens the screen and notes when it is left."""

    def __init__(self, coating):
        super().__init__()
        self.coating, self.result = coating, OPEN

    def on_mount(self):
        self.push_screen(PlotScreen(reading(self.coating)), self.keep)

    def keep(self, result):
        self.result = result


def run(story, size=(80, 24), coating="halyard-aurora"):
    async def main():
        app = Host(coating)
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            await app.workers.wait_for_complete()
            await pilot.pause()
            return await story(app, pilot)

    return asyncio.run(main())


def lines_of(widget):
    return ["".join(segment.text for segment in widget.render_line(y)) for y in range(widget.size.height)]


def legend(app):
    """Return the legend's words as they are painted, in one line."""
    region = app.screen.query_one("#legend", Static).region
    strips = app.screen._compositor.render_strips()
    return " ".join(
        " ".join(strip.crop(region.x, region.right).text.split())
        for strip in strips[region.y : region.bottom]
    )


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_letters_and_axis_words_are_on_the_plane_and_colours_named_beside_it(size):
    async def story(app, _pilot):
        plane = "\n".join(lines_of(app.screen.query_one(Plane)))
        return plane, legend(app)

    plane, words = run(story, size)
    assert all(letter in plane for letter in "UCS")
    assert all(word in plane for word in ("redder", "greener", "yellower", "bluer"))
    seen = reading()
    assert all(one.name in words for one in (seen.uncoated, seen.seen, seen.swatch))


@pytest.mark.parametrize("depth", ["true", "256", "16", "grey"])
def test_letters_lie_where_their_colours_lie(depth):
    seen = reading()
    for close in (True, False):
        view = view_of(seen, 60, 20, close=close)
        cells = drawn(seen, view, depth, "#ffffff", "#000000")
        for letter, one in (("U", seen.uncoated), ("C", seen.seen), ("S", seen.swatch)):
            row, column = view.cell(one.lab)
            found = [
                (r, c)
                for r, line in enumerate(cells)
                for c, cell in enumerate(line)
                if cell.text == letter and cell.bold
            ]
            assert any(r == row and abs(c - column) <= 2 for r, c in found), letter


def test_up_is_yellower_and_right_is_redder():
    view = View((0.0, 0.0), 1.0, 40, 20)
    assert view.cell((50.0, 10.0, 0.0))[1] > view.cell((50.0, -10.0, 0.0))[1]
    assert view.cell((50.0, 0.0, 10.0))[0] < view.cell((50.0, 0.0, -10.0))[0]
    # Square: as many cells across as pixels, of which two make a cell in height.
    assert view.cell((50.0, 10.0, 0.0))[1] - 20 == 2 * (10 - view.cell((50.0, 0.0, 10.0))[0])


def test_the_plane_has_real_colours_only_where_the_console_has_them():
    seen = reading()
    view = view_of(seen, 60, 20, close=True)
    grounds = {
        depth: {
            cell.ground
            for row in drawn(seen, view, depth, "#ffffff", "#000000")
            for cell in row
            if cell.text == "▀"
        }
        for depth in ("true", "256", "16", "grey")
    }
    assert len(grounds["true"]) > len(grounds["256"]) > 3
    assert not grounds["16"]
    assert not grounds["grey"]


def test_nearly_all_batches_are_in_the_close_view():
    seen = reading()
    view = view_of(seen, 60, 20, close=True)
    x, y = view.dots(seen.lab_lots[:, 1:])
    inside = (x >= 0) & (x < 120) & (y >= 0) & (y < 80)
    assert inside.mean() > 0.7


def test_keys_switch_the_view_zoom_show_figures_and_leave():
    async def story(app, pilot):
        screen = app.screen
        near = lines_of(screen.query_one(Plane))
        await pilot.press("z")
        await pilot.pause()
        far = lines_of(screen.query_one(Plane))
        await pilot.press("f")
        await pilot.pause()
        figures = legend(app)
        await pilot.press("v")
        await pilot.pause()
        over = screen.query_one(Curves).region.height > 0
        await pilot.press("escape")
        return near != far, "L*" in figures and "a*" in figures, over, app.result

    assert run(story) == (True, True, True, None)


def test_the_mouse_alone_switches_the_view_and_reads_a_wavelength():
    async def story(app, pilot):
        await pilot.click(Ways, offset=(22, 0))
        await pilot.pause()
        curves = app.screen.query_one(Curves)
        wide = curves.size.width - LEFT
        await pilot.click(Curves, offset=(LEFT + column_of(450.0, wide), 3))
        await pilot.pause()
        return curves.at, legend(app)

    at, words = run(story)
    assert at == pytest.approx(450.0, abs=5.0)
    assert "violet light" in words or "blue light" in words


def test_arrow_keys_move_along_the_spectrum_and_the_figures_follow():
    async def story(app, pilot):
        await pilot.press("v", "right", "right", "shift+right")
        await pilot.pause()
        return app.screen.query_one(Curves).at, legend(app), app.screen.query_one(Curves).spectra

    at, words, found = run(story)
    assert at == 585.0
    number = int((at - WAVELENGTHS[0]) / 5)
    assert "585 nm, yellow light" in words
    assert f"result: {100 * found.glow[number]:.0f} %" in words
    assert f"swatch: {100 * found.swatch[number]:.0f} %" in words


def test_an_uncoated_stone_is_said_to_be_itself():
    async def story(app, _pilot):
        return legend(app)

    assert "the bare stone itself" in run(story, coating="none")


def test_the_drawing_reads_without_colour(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")

    async def story(app, _pilot):
        return lines_of(app.screen.query_one(Plane)), legend(app)

    plane, words = run(story)
    assert all(any(letter in line for line in plane) for letter in "UCS")
    assert "deep blue" in words


def test_curves_stand_as_high_as_their_values():
    rising = np.linspace(0.0, 1.0, len(WAVELENGTHS))
    dots = curve_dots(rising, 20, 10, 1, 0)
    heights = [int(np.flatnonzero(dots[:, x]).min()) for x in range(40)]
    assert heights[0] == 39
    assert heights[-1] == 0
    assert all(a >= b for a, b in pairwise(heights))
    assert not curve_dots(np.full(len(WAVELENGTHS), np.nan), 20, 10, 1, 0).any()


def test_braille_sets_the_dots_that_unicode_names():
    # Unicode names dots 1 to 8; dot 1 is the top left one, 8 the bottom right one.
    dots = np.zeros((4, 2), bool)
    dots[0, 0] = dots[3, 1] = True
    assert characters(dots) == ["\N{BRAILLE PATTERN DOTS-18}"]
    wide = np.zeros((4, 8), bool)
    draw_line(wide, (0.0, 0.0), (7.0, 0.0))
    assert characters(wide) == ["\N{BRAILLE PATTERN DOTS-14}" * 4]
    set_dots(wide, np.array([99.0, -3.0]), np.array([0.0, 0.0]))
    assert wide.sum() == 8
