"""Where `ONE_STONE` and `ROOM` of ``planner/fitting/photo/together.py`` come from; prints, gates nothing.

Stones drawn ray by ray in rooms with a window brighter than the rest, before a dark camera, by the eye
itself: no camera's colours take part. Printed by how uneven the room is, for jet, clear and three coloured
stones: how far single stones lie from the mean of six in two tilts, and that mean from the glow in wholly
even light, root mean square ΔE00. Run: ``python tests/speed/stone_photo_error.py``.
"""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "fitting"))

import card_photos
import made_cards as made

from planner.colour.cielab import xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.observer import illuminant
from planner.colour.screen import xyz_to_linear
from planner.picture.picture import light_at, prepare
from planner.picture.scatter import Stones
from planner.reading.question import Question
from planner.reading.scene import tristimulus_weights

STONES = ("tackle-jet", "tackle-clear", "shackle-red", "pulley-blue", "baize-green")
MATERIALS = ("TiO2", "ZrO2", "SiO2", "HfO2", "Al2O3")
TRIES = 7
D65_LINEAR = xyz_to_linear(np.eye(3))


def drawn(rng, at, film, room, tilt, dark):
    """Return (3,) tristimulus values of one stone's face, white paper being 1."""
    cloth = card_photos.cloth_of(0.85)
    question = Question(at.stone, at.cut, film, at.size, cloth, cloth, room, 0.5)
    ready = prepare(question, 40, 40, mm_across=1.2 * at.millimetres)
    seen = illuminant("D65")[:, None] * tristimulus_weights()
    eye = seen / seen[:, 1].sum() @ D65_LINEAR
    lights = card_photos.as_taken(ready.lights, room, np.full(81, 0.85), eye, dark)
    one = int(rng.integers(len(ready.stones.chance)))
    chosen = Stones(np.zeros((1, 2)), *(
        part[one : one + 1] for part in (ready.stones.pose, ready.stones.wedge, ready.stones.chance)
    ))  # fmt: skip
    ready = replace(ready, stones=chosen, state=ready.state[one : one + 1], lights=lights)
    light = light_at(ready, tilt)
    face = light.linear[light.stone > 0.99].mean(axis=0) / card_photos.level(lights, room, tilt)
    return face @ np.linalg.inv(D65_LINEAR)


def main():
    """Print the table."""
    rng = np.random.default_rng(3)
    for uneven in (0.02, 0.2, 0.4):
        for name in STONES:
            at, apart, off = made.placed(name), [], []
            for number in range(TRIES):
                layer = str(rng.choice(MATERIALS)), float(rng.uniform(60, 380)), float(rng.uniform())
                film = made.film(*layer) if number else None
                room, dark = card_photos.room(rng, uneven), float(rng.uniform(4, 10))
                tilts = np.repeat([-rng.uniform(3, 12), rng.uniform(3, 12)], 3)
                labs = xyz_to_lab(np.array([drawn(rng, at, film, room, one, dark) for one in tilts]))
                mean = labs.mean(axis=0)
                apart.append(delta_e(labs, mean))
                off.append(float(delta_e(mean, made.glow(at, film))))
            one, room_ = (np.sqrt(np.mean(np.square(part))) for part in (apart, off))
            print(
                f"window up to {100 * uneven:.0f} % of the light, {name}: one stone {one:.1f}, mean "
                f"{room_:.1f}"
            )


if __name__ == "__main__":
    main()
