"""How often photographed sample cards leave the true film, and foretell other stones; gates nothing.

The cards are those of ``tests/fitting/card_photos.py``. Run:
``python tests/speed/photo_cards.py [how many]``; about three seconds a card.
"""

import sys
import tempfile
from pathlib import Path
from time import perf_counter

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "fitting"))

import photo_trials


def main():
    """Print the outcome for one and for two photographs of each card."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    for shots in (2, 1):
        rng = np.random.default_rng(71 + shots)
        begun = perf_counter()
        with tempfile.TemporaryDirectory() as folder:
            trials = [photo_trials.trial(rng, folder, shots) for _ in range(count)]
        each = (perf_counter() - begun) / count
        print(f"{shots} photograph{'s' if shots > 1 else ''} of {photo_trials.summary(trials)}; {each:.1f} s")


if __name__ == "__main__":
    main()
