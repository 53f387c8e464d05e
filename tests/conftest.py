"""Keep what the planner keeps between runs out of the folder of whoever runs the tests."""

import os

import pytest

from planner.optics import store


@pytest.fixture(scope="session", autouse=True)
def _beams_of_our_own(tmp_path_factory):
    """Keep beams in a folder of this run: here, and in the processes that tests start."""
    place = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "folder", lambda: place / "beams")
        if os.name == "posix":
            patch.setenv("XDG_CACHE_HOME", str(place))
        yield
