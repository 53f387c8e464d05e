"""Where a person's own entries are kept: one file a kind, whoever keeps them."""

import pytest

from planner.app.photo.own_swatches import own_file as of_the_photo_screen
from planner.app.venues.understood import own_file as of_the_venues_screen
from planner.catalogue.keep import own_file
from planner.cli.keeping import keeping


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        ("swatch", "swatches.toml"),
        ("venue", "venues.toml"),
        ("stone", "stones.toml"),
        ("coating", "coatings.toml"),
    ],
)
def test_a_kind_has_one_file_named_in_english(kind, name, tmp_path):
    assert own_file(kind, tmp_path) == tmp_path / name
    assert keeping("Some name", None, over=False, palettes=tmp_path).file(kind) == tmp_path / name


def test_a_screen_keeps_where_the_command_keeps(tmp_path):
    assert of_the_photo_screen(tmp_path) == keeping("x", None, over=False, palettes=tmp_path).file("swatch")
    assert of_the_venues_screen(tmp_path) == keeping("x", None, over=False, palettes=tmp_path).file("venue")
