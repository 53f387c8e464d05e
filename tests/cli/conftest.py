"""A small palette, so that whole rankings stay quick, and a planner that reads nothing of our own."""

import pytest
from click.testing import CliRunner

from planner.catalogue import load, new_palette_file
from planner.cli import main
from planner.data import demo

STONES = ("pulley-blue", "marlinspike-navy", "tackle-jet", "pelmet-clear")
COATINGS = ("halyard-aurora", "lining-aurora")
VENUES = ("rink", "theatre", "noon")
SWATCHES = ("leotard-blue", "drape-black")


@pytest.fixture(autouse=True)
def _nothing_of_our_own(monkeypatch, tmp_path):
    """Keep the palettes and habits of whoever runs the tests out of them."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "nothing"))
    for name in ("NO_COLOR", "PLANNER_TRACE", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture(autouse=True)
def _read_once(readings_are_shared):
    """Take from memory what another test read: here is tested what is said of readings."""


@pytest.fixture(scope="session")
def palettes(tmp_path_factory):
    """Return a folder with a few entries of the demo, and a swatch whose id looks like a colour."""
    folder = tmp_path_factory.mktemp("few")
    whole = load(demo())
    file = new_palette_file(folder / "few.toml")
    wanted = [*(whole.stones[one] for one in STONES), *(whole.coatings[one] for one in COATINGS)]
    wanted += [whole.cuts[one] for one in dict.fromkeys(whole.stones[one].cut for one in STONES)]
    wanted += [*(whole.venues[one] for one in VENUES), *(whole.swatches[one] for one in SWATCHES)]
    for entry in wanted:
        file = file.with_entry(entry)
    red = whole.swatches["leotard-blue"].model_copy(
        update={"id": "2a4b9c", "name": "Red", "lab": (38, 56, 30)}
    )
    file.with_entry(red).save()
    return folder


@pytest.fixture
def planner(palettes):
    """Return a function that runs a command line on the small palette and returns click's result."""

    def run(*args, status=0, quick=True, **environment):
        options = ["--palettes", str(palettes)] if "--palettes" not in args else []
        if quick and args[0] in {"try", "check"}:
            options += ["--grade", "quick"]
        result = CliRunner().invoke(main, [str(one) for one in (*args, *options)], env=environment)
        assert status is None or result.exit_code == status, result.output
        return result

    return run
