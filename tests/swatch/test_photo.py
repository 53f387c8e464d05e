"""Photographs rendered from measured things are read right as often as claimed, or refused with reason."""

import numpy as np
import pytest
from PIL import Image

from planner.colour.cielab import xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.swatch.photo import combine, measure
from planner.swatch.photo_areas import propose
from planner.swatch.photo_file import Area, open_picture

DAYLIGHT = weights(illuminant("D65"))
BLUE = np.interp(np.arange(380, 781, 5), [380, 450, 520, 600, 780], [0.15, 0.4, 0.2, 0.08, 0.15])
WHITE, CLOTH = Area(40, 70, 140, 220), Area(250, 60, 190, 240)


@pytest.fixture
def taken(tmp_path, studio):
    """Return a function that photographs a cloth and opens the picture."""

    def take(cloth=BLUE, seed=1, **options):
        path = tmp_path / "photo.jpg"
        random = np.random.default_rng(seed)
        rgb = studio.photograph(cloth, random, white_at=WHITE, cloth_at=CLOTH, **options)
        path.write_bytes(studio.jpeg(rgb))
        return open_picture(path)

    return take


@pytest.mark.campaign
def test_daylit_photographs_are_right_as_often_as_claimed(taken, studio, whole):
    check(taken, studio, studio.DAYLIGHT, "daylight", widest=6.0, whole=whole)


@pytest.mark.campaign
def test_photographs_under_lamps_are_right_as_often_as_claimed(taken, studio, whole):
    check(taken, studio, studio.LAMPS, "lamps", whole=whole)


def check(taken, studio, lamps, light, *, whole, widest=None):
    number = 120 if whole else 15
    random = np.random.default_rng(11)
    inside, widths, placed, refused = [], [], [], []
    for count in range(number):
        cloth = studio.cloths()[random.integers(len(studio.cloths()))]
        brightened = random.uniform(0.5, 1) if light == "daylight" else random.uniform(0, 0.5)
        picture = taken(
            cloth, seed=count, light=lamps[count % len(lamps)], taken_by=studio.CAMERAS[count % 2],
            reference=studio.paper(brightened), exposure=random.uniform(0.55, 0.85),
            contrast=random.uniform(-0.1, 0.4), saturation=random.normal(1.04, 0.07),
            uneven=random.uniform(0, 0.3),
        )  # fmt: skip
        try:
            found = measure(picture, light=light)
        except ValueError as reason:
            refused.append(str(reason))
            continue
        missed = delta_e(xyz_to_lab(cloth @ DAYLIGHT), found.lab)
        inside.append(missed <= found.swatch.half_width)
        widths.append(found.swatch.half_width)
        placed.append(within(found.cloth, CLOTH) and within(found.white, WHITE))
    print(
        f"\n{light}: {100 * np.mean(inside):.0f} % of {number} within the stated 90 % half-width, median "
        f"ΔE00 {np.median(widths):.1f}; areas found rightly in {100 * np.mean(placed):.0f} %, "
        f"refused {len(refused)} {sorted(set(refused))}",
        end="",
    )
    # Of fifteen some come out otherwise by chance.
    assert np.mean(inside) >= 0.75
    assert not whole or 0.85 <= np.mean(inside) <= 0.97
    assert np.mean(placed) > 0.9
    assert len(refused) <= max(1, 0.03 * number)
    assert widest is None or np.median(widths) <= widest


def within(found, true):
    return (
        found.x >= true.x and found.y >= true.y and found.x + found.width <= true.x + true.width
        and found.y + found.height <= true.y + true.height
    )  # fmt: skip


def test_a_grey_card_is_surer_than_brightened_paper(taken):
    # On a grey cloth, on which the brightener's blue tells most.
    grey = np.full(81, 0.3)
    picture = taken(grey, reference=np.full(81, 0.18), exposure=0.18)
    with_card = measure(picture, cloth=CLOTH, white=WHITE, grey=0.18, light="daylight")
    with_paper = measure(taken(grey), cloth=CLOTH, white=WHITE, light="daylight")
    assert with_card.swatch.colour.uncertainty < with_paper.swatch.colour.uncertainty
    assert delta_e(with_card.lab, xyz_to_lab(grey @ DAYLIGHT)) <= with_card.swatch.half_width
    assert "grey card" in with_card.swatch.how


def test_unknown_light_is_less_sure_than_daylight(taken):
    picture = taken()
    sure, unsure = (measure(picture, light=light).swatch for light in ("daylight", "unknown"))
    assert sure.colour.uncertainty < unsure.colour.uncertainty


def test_several_photographs_are_surer_than_one(taken):
    shots = [measure(taken(seed=seed, uneven=0.4), light="daylight") for seed in range(4)]
    together = combine(shots)
    assert together.colour.uncertainty < np.mean([one.swatch.colour.uncertainty for one in shots])
    # What the camera does is common to all of them.
    assert together.colour.uncertainty > 1.5
    assert delta_e(together.colour.lab, np.mean([one.lab for one in shots], axis=0)) < 2
    assert together.how.startswith("4 photographs")


def test_photographs_that_disagree_say_so_and_widen(taken):
    red = np.interp(np.arange(380, 781, 5), [380, 580, 620, 780], [0.05, 0.05, 0.5, 0.5])
    shots = [measure(taken(cloth), light="daylight") for cloth in (BLUE, red)]
    together = combine(shots)
    assert any("disagree" in note for note in together.notes)
    assert together.colour.uncertainty > 5


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"exposure": 1.6}, "the white paper is burnt out"),
        ({"uneven": 2.5, "exposure": 0.25}, "the light is very uneven"),
        ({"reference": np.full(81, 0.04), "exposure": 0.6}, None),
    ],
    ids=["burnt out", "uneven", "black taken for white"],
)
def test_what_cannot_be_read_is_refused_with_the_reason(taken, options, says):
    with pytest.raises(ValueError, match=says or "darker than the cloth|burnt out") as caught:
        measure(taken(**options), cloth=CLOTH, white=WHITE)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("table", [40, 110, 150])
def test_burnt_out_paper_on_a_dull_table_is_named_and_the_table_not_taken_for_it(table, tmp_path):
    rgb = np.full((480, 640, 3), table, np.uint8)
    rgb[60:200, 40:200] = 255
    rgb[150:400, 280:520] = (30, 60, 150)
    path = tmp_path / "burnt.png"
    Image.fromarray(rgb).save(path)
    with pytest.raises(ValueError, match=r"is burnt out.*take the photograph again a little darker"):
        measure(open_picture(path))


def test_white_and_cloth_mistaken_for_each_other(taken):
    with pytest.raises(ValueError, match="white paper is darker than the cloth"):
        measure(taken(), cloth=WHITE, white=CLOTH)


def test_mixed_light_is_warned_of_or_refused(taken, tmp_path):
    picture = taken()
    x = np.linspace(-0.5, 0.5, WHITE.width)[None, :, None]
    for strength, refused in ((0.03, False), (0.5, True)):
        rgb = picture.rgb.astype(float)
        part = (slice(WHITE.y, WHITE.y + WHITE.height), slice(WHITE.x, WHITE.x + WHITE.width))
        rgb[part] *= 1 + strength * x * [1, 0, -1]
        path = tmp_path / "mixed.png"
        Image.fromarray(np.clip(rgb, 0, 250).astype(np.uint8)).save(path)
        if refused:
            with pytest.raises(ValueError, match="two kinds of light"):
                measure(open_picture(path), cloth=CLOTH, white=WHITE)
        else:
            notes = measure(open_picture(path), cloth=CLOTH, white=WHITE).swatch.notes
            assert any("light of two colours" in note for note in notes)


def test_uneven_light_and_colours_beyond_the_picture_are_told(taken):
    assert any(
        "uneven" in note
        for note in measure(taken(uneven=0.9, exposure=0.4), cloth=CLOTH, white=WHITE).swatch.notes
    )
    vivid = np.interp(np.arange(380, 781, 5), [380, 590, 605, 780], [0.0, 0.0, 0.8, 0.9])
    notes = measure(taken(vivid, saturation=1.3), cloth=CLOTH, white=WHITE).swatch.notes
    assert any("more vivid than the picture can hold" in note for note in notes)


@pytest.mark.parametrize(
    ("area", "says"),
    [
        (Area(470, 350, 100, 100), "must lie on the picture, which is 480 × 360"),
        (Area(100, 100, 10, 10), "too small"),
        (Area(100, 100, 0, 10), "must lie on the picture"),
    ],
)
def test_an_area_off_the_picture_or_too_small(taken, area, says):
    with pytest.raises(ValueError, match=says):
        measure(taken(), cloth=area, white=WHITE)


def test_no_paper_no_proposal(taken, tmp_path):
    path = tmp_path / "plain.png"
    Image.new("RGB", (400, 300), (120, 40, 30)).save(path)
    with pytest.raises(ValueError, match="no plain white paper"):
        propose(open_picture(path))
    Image.new("RGB", (400, 300), (220, 222, 219)).save(path)
    with pytest.raises(ValueError, match="no cloth beside the white"):
        propose(open_picture(path))


def test_highlights_and_shadows_are_left_out(taken):
    plain = taken()
    spoilt = plain.rgb.copy()
    rows, columns = np.random.default_rng(5).integers(0, [[240], [190]], (2, 4000))
    spoilt[60 + rows[:2000], 250 + columns[:2000]] = 255
    spoilt[60 + rows[2000:], 250 + columns[2000:]] = 12
    object.__setattr__(plain, "rgb", spoilt)
    assert (
        delta_e(measure(plain, cloth=CLOTH, white=WHITE).lab, measure(taken(), cloth=CLOTH, white=WHITE).lab)
        < 1
    )
