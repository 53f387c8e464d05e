"""Every run of the tests is alike, and leaves the folders of whoever runs it alone."""

import gc
import os
import sys
from functools import cache
from pathlib import Path

# Before NumPy is imported, here and in the processes that tests start: each worker keeps to one thread for
# its products of matrices, so that workers do not wait for one another.
os.environ["OPENBLAS_NUM_THREADS"] = os.environ["OMP_NUM_THREADS"] = os.environ["MKL_NUM_THREADS"] = "1"

import pytest
from campaigns import WHOLE
from hypothesis import HealthCheck, settings

from planner import catalogue
from planner.catalogue import palette, palette_file
from planner.catalogue.files import read_text
from planner.data import demo
from planner.optics import store

NOT_BESIDE = sys.dont_write_bytecode
"""Whether Python is asked to keep no compiled code beside its source. What tests compile is then kept in a
folder of their own: each worker and each process that tests start would compile it anew in each run."""
if NOT_BESIDE:
    sys.dont_write_bytecode = False
    sys.pycache_prefix = str(Path(__file__).parents[1] / ".pytest_cache" / "compiled")


@cache
def _demo_palette():
    return _load(demo())


def _load_once(*places, **names):
    """Do what the planner's `load` does, and read the demo once where nothing else is asked for."""
    return _demo_palette() if places == (demo(),) and not names else _load(*places, **names)


_load = palette.load
palette.load = catalogue.load = _load_once  # before any file of tests takes it from there


@cache
def _taken_apart(text):
    return palette_file._read(text)


def _read_file_once(path):
    """Do as the planner's `read_palette_file`, and take a text apart once unless it names another file."""
    text = read_text(path)
    return palette_file._read(text) if "file" in text.text else _taken_apart(text)


palette.read_palette_file = _read_file_once

# The same examples each time; `--hypothesis-profile=default` looks for new ones.
# However busy the machine is, slow examples are no fault.
settings.register_profile(
    "steady",
    derandomize=True,
    deadline=None,
    max_examples=100 if WHOLE else 25,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("steady")


@pytest.hookimpl(wrapper=True)
def pytest_collection_modifyitems(items):
    """Count what tries examples of its own among the campaigns: whole, it tries four times as many.

    Of what is then left to do, the longest is begun first, so that no worker is alone with it at the end.
    """
    for item in items:
        if getattr(getattr(item, "function", None), "is_hypothesis_test", False):
            item.add_marker(pytest.mark.campaign)
    yield
    items[:] = dealt(items, int(os.environ.get("PYTEST_XDIST_WORKER_COUNT", "1")))


def dealt(items, workers):
    """Return items with each worker's share of the long ones at the head of what it is given first.

    With `--dist worksteal` that is one part after the other of as many as there are workers, equally large.
    """
    long = [item for item in items if item.get_closest_marker("long")]
    rest = [item for item in items if not item.get_closest_marker("long")]
    order = []
    for at in range(workers):
        size = (len(items) - len(order)) // (workers - at)
        first = long[at::workers]
        order += first + rest[: size - len(first)]
        del rest[: size - len(first)]
    return order


def pytest_collection_finish(session):
    """Let Python look no more for garbage among what was imported, and less often among what is new."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 50)


def pytest_xdist_auto_num_workers():
    """Return as many workers as there are processors: each more imports everything and reads it anew."""
    return os.cpu_count() or 1


@pytest.fixture(scope="session")
def whole():
    """Say whether campaigns are run whole, as with PLANNER_FULL=1, and not by a fifth."""
    return WHOLE


@pytest.fixture(scope="session", autouse=True)
def _beams_of_our_own(tmp_path_factory):
    """Keep beams in a folder of this run: for all its workers, and the processes that tests start."""
    base = tmp_path_factory.getbasetemp()
    place = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "cache"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "folder", lambda: place / "beams")
        if os.name == "posix":
            patch.setenv("XDG_CACHE_HOME", str(place))
        if NOT_BESIDE:
            patch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
            patch.setenv("PYTHONPYCACHEPREFIX", str(sys.pycache_prefix))
        yield


@pytest.fixture(scope="session", autouse=True)
def _files_are_not_flushed():
    """Leave it to the system when a file goes to the disk, which takes milliseconds: no test cuts the power.

    `tests/test_atomic.py`, of which it is the matter, has them flushed.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", lambda _: None)
        yield


@pytest.fixture(scope="session")
def _readings():
    from once import ReadOnce  # half a second, which who only deals out tests to workers has no use for

    memory = ReadOnce()
    with pytest.MonkeyPatch.context() as patch:
        memory.install(patch)
        yield memory


@pytest.fixture
def readings_are_shared(_readings):
    """Let what was read or drawn before be taken from memory, where a test is not about that itself."""
    with _readings:
        yield _readings
