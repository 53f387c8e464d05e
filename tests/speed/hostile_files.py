"""Ten thousand spoilt files of every kind, workbooks among them: how many were refused, and what failed.

Run as ``python tests/speed/hostile_files.py [ROUNDS] [SEED]``. All is written in a folder of its own.
"""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from hostility import Outcome, campaign

PIECE = 500
"""Files after which is told how it stands."""

if __name__ == "__main__":
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    outcome = Outcome()
    for begun in range(0, rounds, PIECE):
        with tempfile.TemporaryDirectory() as folder:
            outcome.add(campaign(Path(folder), min(PIECE, rounds - begun), 1000 * seed + begun // PIECE))
        print(outcome.told, flush=True)
    for fault, times in outcome.faults.most_common():
        print(f"  {times} × {fault}")
    sys.exit(bool(outcome.faults))
