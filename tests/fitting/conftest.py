"""The command line, with a data folder of its own."""

import pytest
from click.testing import CliRunner

from planner.cli import main


@pytest.fixture
def planner(monkeypatch, tmp_path):
    """Return a function that runs a command line with a data folder of its own."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))

    def run(*args, status=0):
        result = CliRunner().invoke(main, [str(one) for one in args])
        assert result.exit_code == status, result.output
        assert "Traceback" not in result.output
        return result

    return run
