"""Every run of the tests is alike, and leaves the folders of whoever runs it alone."""

import os

import pytest
from hypothesis import settings

from planner.optics import store

# The same examples each time; `--hypothesis-profile=default` looks for new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")


@pytest.fixture(scope="session", autouse=True)
def _beams_of_our_own(tmp_path_factory):
    """Keep beams in a folder of this run: here, and in the processes that tests start."""
    place = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "folder", lambda: place / "beams")
        if os.name == "posix":
            patch.setenv("XDG_CACHE_HOME", str(place))
        yield
