"""Spoilt files of every kind are refused in a sentence or read; tests/speed does the same at length."""

import sys
from pathlib import Path

# Importlib mode puts no folder on the path, and the long script shares this one's files.
sys.path.insert(0, str(Path(__file__).parent))

import pytest
from hostility import campaign


@pytest.mark.campaign
def test_spoilt_files_are_no_fault(tmp_path, whole):
    outcome = campaign(tmp_path, 1_500 if whole else 300, seed=1, books=whole)
    print(outcome.told)
    assert not outcome.faults
    assert outcome.slowest[0] < 10.0
