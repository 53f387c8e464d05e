"""Every run of the tests is alike, and leaves the folders of whoever runs it alone."""

import os

# Before NumPy is imported, here and in the processes that tests start: each worker keeps to one thread for
# its products of matrices, so that workers do not wait for one another.
os.environ["OPENBLAS_NUM_THREADS"] = os.environ["OMP_NUM_THREADS"] = os.environ["MKL_NUM_THREADS"] = "1"

import pytest
from hypothesis import settings
from once import ReadOnce

from planner.optics import store

# The same examples each time; `--hypothesis-profile=default` looks for new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")


def pytest_xdist_auto_num_workers():
    """Return one worker more than there are processors: screens wait now and then."""
    return (os.cpu_count() or 1) + 1


@pytest.fixture(scope="session")
def whole():
    """Say whether campaigns are run whole, as with PLANNER_FULL=1, and not by a fifth."""
    return os.environ.get("PLANNER_FULL") == "1"


@pytest.fixture(scope="session", autouse=True)
def _beams_of_our_own(tmp_path_factory):
    """Keep beams in a folder of this run: for all its workers, and the processes that tests start."""
    base = tmp_path_factory.getbasetemp()
    place = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "cache"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "folder", lambda: place / "beams")
        if os.name == "posix":
            patch.setenv("XDG_CACHE_HOME", str(place))
        yield


@pytest.fixture(scope="session")
def _readings():
    memory = ReadOnce()
    with pytest.MonkeyPatch.context() as patch:
        memory.install(patch)
        yield memory


@pytest.fixture
def readings_are_shared(_readings):
    """Let what was read before be taken from memory, where a test is not about reading itself."""
    with _readings:
        yield
