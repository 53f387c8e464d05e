"""Pictures of the main screen, taken as SVG, against those that somebody looked at and found good.

Words and their places are compared with ``screens/``; colours with what the reading says. The reading
is made up here, so that only the screen is tried. A failure says where the new picture lies: look at
it, and copy it there if it is the better one.
"""

import html
import re
from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from campaigns import WHOLE

from planner.app.answer import Answer, answer_of
from planner.app.sight import Picture
from planner.reading.read import Seen
from planner.reading.sparkle import Flash
from planner.reading.verdict import Verdict
from planner.reading.warn import Concern

SAID = (
    "The stone stays blue, a vivid blue, lighter and greener than bare.",
    "About half of its sparkle is green.",
    "Batches disagree: about a third hold.",
)
CONCERNS = (
    Concern("glow-drifts", "severe", "The glow is lighter than the swatch: ΔE00 18, and 10 is allowed.",
            "Choose a pairing that holds."),
    Concern("lots-straddle", "caution", "Lots disagree: only 3 lots in 10 hold.", "Ask for one lot."),
)  # fmt: skip

PICTURES = True


class MadeUp(Answer):
    """An answer whose verdict and words no other room can change."""

    verdict = Verdict("fails", "bad", "Too far from your swatch")
    sentences = SAID
    short = ("From 20 m: vivid blue, lighter.", "By the window it looks green; its rim shines red.", SAID[1])


def made_up(question, grade, **given):
    found = answer_of(question, grade, **given).assessed
    blue = Seen((41.0, 5.0, -50.0), "vivid blue", "blue", "#0067b1", in_gamut=True, brighter_than_white=False)
    dark = Seen((25.0, 9.0, -40.0), "deep blue", "blue", "#103a7d", in_gamut=True, brighter_than_white=False)
    number = {"blue": 0.6, "green": 0.34, "white": 0.06}
    flash = Flash({"blue": 0.5, "green": 0.47, "white": 0.03}, number, 0.2, 9.0)
    lots = np.array(blue.lab) + np.linspace(-4.0, 4.0, 9)[:, None] * (1.0, 0.0, 0.0)
    reading = replace(
        found.reading, seen=blue, glow=blue, uncoated=dark, swatch=dark, cloth=dark, flash=flash,
        lab_lots=lots,
    )  # fmt: skip
    return MadeUp(replace(found, reading=reading, concerns=tuple((one, None) for one in CONCERNS)))


SCREENS = Path(__file__).with_name("screens")
SIZES = ((80, 24), (120, 40), (200, 60))
DEPTHS = ("true", "256", "grey")
ROW = 24.4
"""Height of a line in Textual's SVG."""

_TEXT = re.compile(r'<text class="[^"]*" x="([\d.]+)" y="([\d.]+)"[^>]*>([^<]*)</text>')
_RECT = re.compile(r'<rect fill="(#[0-9a-f]{6})"')
_STYLE = re.compile(r"fill: (#[0-9a-f]{6})")


def words(svg):
    """Return the lines of text of a picture."""
    width = 12.2
    lines = {}
    for x, y, text in _TEXT.findall(svg):
        row, column = round((float(y) - 18.5) / ROW), round(float(x) / width)
        line = lines.setdefault(row, {})
        line[column] = html.unescape(text).replace("\N{NO-BREAK SPACE}", " ")
    return [_line(lines.get(row, {})) for row in range(max(lines) + 1)]


def _line(parts):
    line = ""
    for column in sorted(parts):
        line = line.ljust(column) + parts[column]
    return line.rstrip()


def without(pictures, lines):
    """Return lines with plain pictures: letters tell light, which the optics may well change."""
    for one in pictures:
        box = one.region
        for y in range(box.y, box.bottom):
            left = box.x + (len(one.caption) + 2 if y == box.y else 0)
            line = lines[y].ljust(box.right)
            lines[y] = f"{line[:left]}{'▀' * (box.right - left)}{line[box.right :]}".rstrip()
    return lines


def colours(svg):
    return {*_RECT.findall(svg), *_STYLE.findall(svg)}


def is_grey(colour):
    channels = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    return max(channels) - min(channels) <= 2


@pytest.mark.campaign
@pytest.mark.parametrize(("size", "depth"), [*product(SIZES, DEPTHS)][:: 1 if WHOLE else 4])
def test_the_main_screen_looks_as_it_was_found_good(size, depth, make_app, play, monkeypatch, tmp_path):
    if depth == "grey":
        monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setattr("planner.app.answer_worker.answer_of", made_up)
    app = make_app(depth=depth)
    taken = []

    async def story(_pilot, _settle):
        picture = [segment for strip in app.main.query_one("#cloth", Picture)._lines for segment in strip]
        svg = app.export_screenshot()
        taken.extend((svg, picture, without(app.main.query(Picture), words(svg))))

    play(app, story, size=size)
    svg, picture, lines = taken
    path = SCREENS / f"main-{size[0]}x{size[1]}-{depth}.txt"
    text = "\n".join(lines) + "\n"
    new = tmp_path / path.name
    new.write_text(text, encoding="utf-8")
    new.with_suffix(".svg").write_text(svg, encoding="utf-8")
    assert path.exists(), f"a new picture lies at {new}"
    assert text == path.read_text(encoding="utf-8"), f"a new picture lies at {new}"
    reading, seen = app.main.answer.reading, colours(svg)
    if depth == "grey":
        # The three dots and the frame that Textual draws round its pictures are no part of the screen.
        frame = {"#ff5f57", "#febc2e", "#28c840", "#292929", "#c5c8c6"}
        assert all(is_grey(one) for one in seen - frame)
    elif depth == "true":
        assert {reading.swatch.hex, reading.seen.hex} <= seen
    if depth == "256":
        levels = {0, 95, 135, 175, 215, 255}
        for segment in picture:
            for colour in (segment.style.color, segment.style.bgcolor):
                assert set(colour.triplet) <= levels or len(set(colour.triplet)) == 1
