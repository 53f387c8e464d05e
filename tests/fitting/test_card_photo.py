"""Stones on photographs: found, read, fitted, and refused with the reason."""

import json

import card_photos
import made_cards as made
import numpy as np
import photo_trials
import pytest
from PIL import Image

from planner.catalogue import load
from planner.catalogue.venue import Light, Spectrum
from planner.colour.difference import delta_e
from planner.data import demo
from planner.fitting.photo.propose import propose_stones
from planner.fitting.photo.shot import read_shot
from planner.fitting.photo.stone import LEAST_ACROSS
from planner.fitting.photo.together import together
from planner.swatch.photo_areas import propose_white
from planner.swatch.photo_file import Area, open_picture

STONES = ("tackle-jet", "tackle-clear", "shackle-red")
FILM = ("TiO2", 160.0, 0.7)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("cards")


def taken(path, seed=1, **options):
    """Return a photograph of a card in an even room."""
    rng = np.random.default_rng(seed)
    stones = [made.placed(one) for one in STONES]
    return card_photos.photograph(
        path, rng, stones, made.film(*FILM), {}, venue=card_photos.room(rng, 0.02), exposure=0.6, **options
    )


@pytest.fixture(scope="module")
def shots(folder):
    """Return two photographs of one card, tilted to either side."""
    return [taken(folder / f"card{tilt}.jpg", tilt=float(tilt)) for tilt in (-8, 9)]


def test_cards_by_a_camera_never_seen_are_read_as_surely_as_told(tmp_path):
    """A few of the cards of ``tests/speed/photo_cards.py``, which tries many and prints how they come out.

    The limits are wide because the cards are few and the errors on one card go together: they catch a
    reading gone wrong, not a per cent.
    """
    rng = np.random.default_rng(3)
    trials = [photo_trials.trial(rng, tmp_path) for _ in range(4)]
    print(f"\n{photo_trials.summary(trials)}")
    inside = np.concatenate([one.apart <= one.within for one in trials])
    assert inside.mean() >= 0.6
    off = np.sqrt(np.mean([one.read_apart**2 for one in trials]))
    assert off < 1.5 * np.sqrt(np.mean([one.read_error**2 for one in trials]))


def test_stones_and_white_are_made_out(shots):
    for shot in shots:
        white = propose_white(shot.picture)
        assert photo_trials.within(white, shot.white, 12)
        found = propose_stones(shot.picture, white)
        for one in (box for row in shot.boxes for box in row):
            nearest = max(found, key=lambda other, one=one: photo_trials.overlap(one, other))
            assert photo_trials.overlap(one, nearest) > 0.7


def test_two_tilted_shots_are_surer_than_one_and_nearer_in_what_they_tell(shots):
    areas = [shot.boxes[0] for shot in shots]
    read = [
        read_shot(shot.picture, one, white=shot.white, light="daylight")
        for shot, one in zip(shots, areas, strict=True)
    ]
    both = together(read, [range(len(one)) for one in areas], "card")
    single = together(read[:1], [range(len(areas[0]))], "card")
    assert both.seen.error < single.seen.error
    assert both.shots == 2
    # What white and camera do to one colour, they do in both shots.
    assert both.seen.together == pytest.approx(single.seen.together, rel=0.3)
    assert float(delta_e(both.seen.lab, made.glow(made.placed("tackle-jet"), made.film(*FILM)))) < 8


def test_light_that_falls_off_is_taken_out(folder):
    colours = []
    for uneven in (0.0, 0.6):
        photo = taken(folder / "uneven.jpg", seed=4, uneven_light=uneven)
        areas = [one for row in photo.boxes for one in row]
        read = read_shot(photo.picture, areas, white=photo.white, light="daylight")
        colours.append(np.mean([one.lab for one in read.stones[: len(photo.boxes[0])]], axis=0))
    assert float(delta_e(*colours)) < 3


def test_the_rim_of_a_flash_tells_its_hue(folder):
    """A bright lamp burns out the middle of what it lights; by its rims a red stone still flashes red."""
    lamps = [
        Light(
            name=f"lamp {way}",
            elevation=way % 50.0,
            azimuth=float(way - 50),
            size=4.0,
            lux=150.0,
            spectrum=Spectrum(illuminant="D65"),
        )
        for way in (10, 25, 40, 60, 85)
    ]
    rng, stones = np.random.default_rng(2), [made.placed("gimlet-scarlet")]
    photo = card_photos.photograph(
        folder / "lit.jpg", rng, stones, None, {}, venue=card_photos.room(rng, 0.02), exposure=0.3,
        lamps=lamps, uneven_light=0.0,
    )  # fmt: skip
    kind = together(
        [read_shot(photo.picture, photo.boxes[0], white=photo.white)], [range(len(photo.boxes[0]))], "lit"
    )
    hues = dict(kind.flashes)
    print(f"\nflashes of a red stone by their rims: {hues}, without hue {kind.hidden}")
    assert sum(hues.values()) >= 3
    assert set(hues) <= {"red", "white", "orange", "pink", "yellow"}


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda rgb: rgb // 255 * 0 + 255, "white paper is burnt out"),
        (lambda rgb: rgb // 12, "nearly black"),
    ],
    ids=["burnt out", "dark"],
)
def test_a_white_that_says_nothing_is_refused(shots, tmp_path, change, says):
    Image.fromarray(change(shots[0].picture.rgb).astype(np.uint8)).save(tmp_path / "spoilt.png")
    with pytest.raises(ValueError, match=says):
        read_shot(open_picture(tmp_path / "spoilt.png"), shots[0].boxes[0], white=shots[0].white)


def test_stones_that_cannot_be_read_are_refused_or_left_out(shots, tmp_path):
    rgb = shots[0].picture.rgb.copy()
    one = shots[0].boxes[0][0]
    rgb[one.y : one.y + one.height, one.x : one.x + one.width] = 255
    Image.fromarray(rgb).save(tmp_path / "shiny.png")
    picture = open_picture(tmp_path / "shiny.png")
    with pytest.raises(ValueError, match="burnt out or mirrors a lamp over 100 %"):
        read_shot(picture, [one], white=shots[0].white)
    both = read_shot(picture, shots[0].boxes[0][:2], white=shots[0].white)
    assert both.stones[0] is None
    assert "burnt out" in both.unread[0]
    assert together([both], [[0, 1]], "x").stones == 1
    small = Area(one.x, one.y, LEAST_ACROSS - 1, 30)
    for area, says in ((small, "at least 16 across"), (Area(5000, 1, 40, 40), "must lie on the picture")):
        with pytest.raises(ValueError, match=says):
            read_shot(picture, [area], white=shots[0].white)


def marks(shots):
    """Return --photo and --on for every stone of the photographs."""
    found = [part for shot in shots for part in ("--photo", shot.picture.path)]
    found += [part for shot in shots for part in ("--white", ",".join(map(str, shot.white)))]
    for number, shot in enumerate(shots, 1):
        for stone, row in zip(STONES, shot.boxes, strict=True):
            for box in row:
                found += ["--on", f"{stone}={number}:{','.join(map(str, box))}"]
    return found


def test_a_card_is_fitted_from_its_photographs_and_kept(planner, shots, tmp_path):
    mine = tmp_path / "mine.toml"
    args = ("coating", "look", *marks(shots), "--light", "daylight")
    data = json.loads(planner(*args, "--save", "card-film", "--to", mine, "--json").stdout)
    assert data["fits"]
    assert [one["stones"] for one in data["kinds_seen"]] == [
        sum(len(shot.boxes[kind]) for shot in shots) for kind in range(3)
    ]
    assert any(abs(one["optical_nm"] / (160 * 2.347) - 1) < 0.1 for one in data["kinds"])
    assert all(one.basis == "estimated" for one in load(demo(), mine).coatings.values() if "card" in one.id)
    assert "known to ±" in planner(*args).stdout


def test_unmarked_stones_are_listed_with_their_numbers(planner, shots):
    path = shots[0].picture.path
    shown = planner("coating", "look", "--photo", path).stdout
    assert "stones 1 at" in shown
    data = json.loads(planner("coating", "look", "--photo", path, "--json").stdout)
    many = len(data["photographs"][0]["stones"])
    assert many >= 9
    assert (
        "the planner makes out 1 to"
        in planner("coating", "look", "--photo", path, "--on", f"tackle-jet={many + 1}", status=2).stderr
    )


def test_what_came_and_an_uncoated_stone_are_read_off_photographs(planner, folder, tmp_path):
    stones = [made.placed("shackle-red")]
    rng = np.random.default_rng(8)
    photo = card_photos.photograph(
        folder / "bare.jpg", rng, stones, None, {}, venue=card_photos.room(rng, 0.02), exposure=0.6
    )
    path, mine = photo.picture.path, tmp_path / "mine.toml"
    body = json.loads(planner(
        "stone", "look", "--photo", path, "--light", "daylight", "--material", stones[0].stone.material,
        "--cut", stones[0].stone.cut, "--size", "SS20", "--save", "box-red", "--to", mine, "--json",
    ).stdout)  # fmt: skip
    assert body["fits"]
    assert load(mine).stones["box-red"].basis == "estimated"
    came = ("arrived", "--stone", "shackle-red", "--coating", "none", "--size", "SS20", "--photo", path)
    data = json.loads(planner(*came, "--light", "daylight", "--json").stdout)
    assert data["expected"]
    assert data["track_record"]["count"] == 1
    assert data["kinds_seen"][0]["stones"] >= 3


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--on", "tackle-jet=1,2,3,4"), "is no colour"),
        (("--photo", "{card}", "--on", "tackle-jet=3:1"), "found photograph 3; there are 1"),
        (("--photo", "{card}", "--on", "tackle-jet=5a5b9e"), "no stone is marked on it"),
        (("--photo", "{card}", "--on", "tackle-jet=1,1,5,5"), "at least 16 across"),
        (("--photo", "{card}", "--on", "tackle-jet=1", "--lamplit", "2"), "numbered from 1 to 1"),
        (("--photo", "{card}", "--on", "tackle-jet=1", "--lamplit", "1"), "--on: is missing"),
        (("--photo", "{card}", "--white", "1,1,9,9", "--white", "1,1,9,9"), "found 2 for 1 photographs"),
        (("--photo", "missing.jpg"), "no such file"),
    ],
)
def test_marks_that_cannot_be_are_refused_in_one_sentence(planner, shots, args, says):
    path = str(shots[0].picture.path)
    result = planner("coating", "look", *(one.replace("{card}", path) for one in args), status=2)
    assert says in result.stderr
    assert result.stderr.count("\n") == 1
