"""The demo palette, read once."""

import pytest

from planner.catalogue import load
from planner.data import demo


@pytest.fixture(scope="session")
def palette():
    return load(demo())
