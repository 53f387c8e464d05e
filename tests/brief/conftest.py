"""One small job, read once and quickly, and a brief of it."""

from dataclasses import replace
from datetime import date

import pytest

from planner.brief.gather import gather
from planner.brief.page import brief
from planner.catalogue import load, new_palette_file
from planner.data import demo
from planner.job import Area, Job, Line
from planner.reading.matter import QUICK

STONES = ("pulley-blue", "marlinspike-navy", "pelmet-clear")
COATINGS = ("halyard-aurora",)


@pytest.fixture(autouse=True)
def _read_once(readings_are_shared):
    """Take from memory what another test read: here is tested what is said of readings."""


@pytest.fixture(scope="session")
def palette():
    """Return a few entries of the demo, so that looking for something else is quick."""
    whole = load(demo())
    return replace(
        whole,
        stones={one: whole.stones[one] for one in STONES},
        coatings={one: whole.coatings[one] for one in COATINGS},
    )


@pytest.fixture(scope="session")
def folder(palette, tmp_path_factory):
    """Return a folder that holds the same palette, for the command line."""
    path = tmp_path_factory.mktemp("few")
    file = new_palette_file(path / "few.toml")
    stones = palette.stones.values()
    cuts = [palette.cuts[one] for one in dict.fromkeys(stone.cut for stone in stones)]
    venues = [palette.venues[one] for one in ("rink", "theatre", "noon")]
    swatches = [palette.swatches[one] for one in ("leotard-blue", "drape-black")]
    for entry in (*cuts, *stones, *palette.coatings.values(), *venues, *swatches):
        file = file.with_entry(entry)
    file.save()
    return path


@pytest.fixture(scope="session")
def job():
    return Job(
        title="Trapeze, leotard with long sleeves", swatch="leotard-blue",
        cloth="drape-black", venues=("rink", "theatre", "noon"),
        client="A. Client", maker="The workroom", event=date(2031, 3, 14), wearer="12 or younger",
        use=("ice", "touch"),
        note="Not on the straps.",
        lines=(
            Line(stone="pulley-blue", coating="halyard-aurora", size="SS20", name="body"),
            Line(stone="marlinspike-navy", size="SS16", wish="tone", name="cuff"),
            Line(stone="pelmet-clear", size="SS30", wish="blend"),
        ),
        areas=(
            Area(name="Front", shape="rectangle", width_cm=20, height_cm=30, pattern="scatter", spacing_mm=9,
                 mix={"body": 3, "cuff": 1}),
        ),
    )  # fmt: skip


@pytest.fixture(scope="session")
def told(job, palette):
    return gather(job, palette, grade=QUICK)


@pytest.fixture(scope="session")
def made(told):
    return brief(told)


@pytest.fixture
def no_pictures(monkeypatch):
    """Let briefs be set over and over without drawing their stones anew."""
    from PIL import Image

    from planner.brief import page
    from planner.brief.pictures import Pictures, png

    grey = png(Image.new("RGB", (8, 8), "#808080"))
    monkeypatch.setattr(page, "pictures", lambda *_, **__: Pictures(grey, grey))


@pytest.fixture
def not_set(no_pictures, monkeypatch):
    """Let briefs be asked for their words alone: there is room for everything, and nothing is set."""
    from planner.brief import page

    class _Roomy(page.Setter):
        def __enter__(self):
            return self

        def count(self, _):
            return 1

        def printable(self, data):
            return data, ""

    monkeypatch.setattr(page, "Setter", _Roomy)
