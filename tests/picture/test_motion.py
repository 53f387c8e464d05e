"""Pictures that move: what flashes is counted as WCAG 2.2 says it, and kept under its limit.

The definitions are those of success criterion 2.3.1 and of "general flash" (W3C, Web Content
Accessibility Guidelines 2.2, 2023): a pair of opposing changes of relative luminance by a tenth or more
with the darker below 0.80, at most three in any second.
"""

import io

import numpy as np
import pytest
from PIL import Image

from planner.catalogue import load
from planner.data import demo
from planner.picture import film
from planner.picture.film import write_film
from planner.picture.motion import MOST_FLASHING, NOD, SWING, Loop, angles, calmed, flashing_share
from planner.picture.view import view
from planner.reading.question import Question, coating_called, typed_colour

RATE = 15


def strobe(hertz, seconds=2, dark=0, bright=255, size=8):
    count = RATE * seconds
    phase = np.floor(np.arange(count) * 2 * hertz / RATE).astype(int) % 2
    return np.broadcast_to(
        np.where(phase, bright, dark).astype(np.uint8)[:, None, None, None], (count, size, size, 3)
    )


@pytest.mark.parametrize(("hertz", "share"), [(1, 0.0), (2, 0.0), (3, 0.0), (5, 1.0), (7.5, 1.0)])
def test_more_than_three_flashes_a_second_are_too_many(hertz, share):
    assert flashing_share(strobe(hertz), RATE) == share


def test_small_changes_and_changes_among_bright_pictures_are_no_flashes():
    assert flashing_share(strobe(5, dark=100, bright=110), RATE) == 0.0
    # sRGB 232 has a relative luminance of 0.80 (IEC 61966-2-1).
    assert flashing_share(strobe(5, dark=235, bright=255), RATE) == 0.0


def test_the_share_of_the_picture_is_what_counts():
    frames = np.zeros((30, 10, 10, 3), np.uint8)
    frames[:, :5, :4] = strobe(5, size=1)
    assert flashing_share(frames, RATE) == pytest.approx(0.2)
    assert (calmed(frames, RATE) == frames).all()


def test_too_much_flashing_is_run_together_until_it_is_not():
    frames = strobe(6)
    drawn = calmed(frames, RATE)
    assert flashing_share(frames, RATE) == 1.0
    assert flashing_share(drawn, RATE) <= MOST_FLASHING
    assert drawn.shape == frames.shape


def test_a_loop_goes_there_and_back_and_draws_each_frame_once():
    drawn = []

    def draw(tilt, nod):
        drawn.append((tilt, nod))
        return np.full((2, 2, 3), len(drawn), np.uint8)

    loop = Loop(draw, 24)
    first = [loop.frame(number).copy() for number in range(24)]
    wanted = angles(24)
    assert len(drawn) == 13
    for number, frame in enumerate(first):
        there = drawn[int(frame[0, 0, 0]) - 1]
        np.testing.assert_allclose(there, wanted[number], atol=1e-9)
    assert loop.whole
    assert loop.frames().shape == (24, 2, 2, 3)
    assert len(drawn) == 13
    assert max(tilt for tilt, _ in wanted) == pytest.approx(SWING)
    assert max(abs(nod) for _, nod in wanted) == pytest.approx(NOD)


@pytest.fixture(scope="module")
def question():
    palette = load(demo())
    stone, venue, colour = palette.stones["tackle-clear"], palette.venues["ballroom"], typed_colour("#10131c")
    coating = coating_called("halyard-aurora", palette)
    return Question(
        stone, palette.cuts[stone.cut], coating, "SS20", colour, colour, venue, venue.distance, 0.5
    )


@pytest.mark.parametrize("kind", ["stone", "hand"])
def test_bright_stones_under_many_lamps_flash_no_more_than_is_allowed(question, kind):
    loop = Loop(view(question, 14, 14, kind, finer=1).frame, 60)
    share = flashing_share(loop.frames())
    print(f"{kind}: {share:.3f} of the picture flashes more than three times a second")
    assert share <= MOST_FLASHING
    assert len({frame.tobytes() for frame in loop.frames()}) > 20


def test_a_film_is_an_endless_moving_picture(question, tmp_path, monkeypatch):
    monkeypatch.setattr(film, "SIDE", 12)
    told = []
    path = tmp_path / "out.webp"
    write_film(question, path, told.append)
    with Image.open(io.BytesIO(path.read_bytes())) as moving:
        assert (moving.format, moving.n_frames, moving.info["loop"]) == ("WEBP", Loop(None).count, 0)
    assert told[-1] == 1.0


def test_a_film_has_its_own_ending(question, tmp_path):
    with pytest.raises(ValueError, match=r"WEBP alone; give a name that ends in \.webp"):
        write_film(question, tmp_path / "out.gif")
