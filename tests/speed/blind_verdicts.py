"""Twenty pairings as pictures without words, to be judged blind: would this pass for the swatch?

    python tests/speed/blind_verdicts.py FOLDER [SEED]     draws the pictures, and key.json
    python tests/speed/blind_verdicts.py FOLDER --score    compares answers.txt with it

Answers are "01 pass" or "01 fail", a line each.

Each shows what leads the main screen: swatch (left) and seen colour (right) as two patches that touch, below
them the cloth as it is seen from there. Stones, coatings and venues are drawn from the demo at random; the
swatch lies a random way off what they read as, so that near misses are among them. 7 to 13 of them pass,
and nobody is told how many. Those which the planner itself calls "just about", or unsure, are left out: they
have no right answer.
"""

import json
import sys
from pathlib import Path

import numpy as np
from PIL import Image

import planner  # noqa: F401 - before NumPy
from planner.catalogue import load
from planner.colour.screen import lab_to_srgb, parse_hex, to_hex
from planner.data import demo
from planner.picture.view import view
from planner.reading.matter import QUICK
from planner.reading.question import Question, can_carry, typed_colour
from planner.reading.read import read
from planner.reading.verdict import verdict

COUNT = 20
FURTHEST = 40.0
"""CIELAB units from the seen colour to the swatch, at most."""
WIDE, PATCH, CELLS, ENLARGED = 900, 260, (150, 50), 6
COVER = 0.35


def candidate(palette, rng):
    """Return a reading against a swatch some random way off, on cloth of that colour."""
    stone = palette.stones[rng.choice(sorted(palette.stones))]
    films = [None, *(one for one in palette.coatings.values() if can_carry(stone, one))]
    film = films[rng.integers(len(films))] if rng.random() < 0.7 else None
    venue = palette.venues[rng.choice(sorted(palette.venues))]

    def asked(colour):
        return read(Question(stone, palette.cuts[stone.cut], film, middle_size(stone), colour, colour, venue,
                             venue.distance, COVER), QUICK)  # fmt: skip

    first = asked(typed_colour("#808080"))
    way = rng.normal(size=3)
    lab = np.array(first.seen.lab) + way / np.linalg.norm(way) * rng.uniform(0.0, FURTHEST)
    lab[0] = lab[0].clip(8.0, 95.0)
    return asked(typed_colour(to_hex(lab_to_srgb(lab)[0])))


def middle_size(stone):
    """Return the middle one of a stone's sizes."""
    return stone.sizes[len(stone.sizes) // 2]


def drawn(reading):
    """Return the patches over the cloth, an RGB image without a word."""
    image = Image.new("RGB", (WIDE, PATCH + CELLS[1] * ENLARGED), "#131313")
    for number, seen in enumerate((reading.swatch, reading.seen)):
        image.paste(tuple(parse_hex(seen.hex)), (number * WIDE // 2, 0, (number + 1) * WIDE // 2, PATCH))
    cloth = Image.fromarray(view(reading.question, *CELLS, "seats").frame())
    image.paste(cloth.resize((WIDE, CELLS[1] * ENLARGED), Image.Resampling.NEAREST), (0, PATCH))
    return image


def draw(folder, seed):
    rng, palette = np.random.default_rng(seed), load(demo())
    passing = int(rng.integers(7, 14))
    wanted = {"good": passing, "bad": COUNT - passing}
    found = {"good": [], "bad": []}
    while any(len(found[tone]) < wanted[tone] for tone in wanted):
        reading = candidate(palette, rng)
        tone = verdict(reading).tone
        if tone in found and len(found[tone]) < wanted[tone]:
            found[tone].append(reading)
    told = [(tone, one) for tone, readings in found.items() for one in readings]
    key = {}
    for number, at in enumerate(rng.permutation(len(told)), 1):
        tone, reading = told[at]
        drawn(reading).save(folder / f"{number:02}.png")
        asked = reading.question
        key[f"{number:02}"] = {
            "verdict": {"good": "pass", "bad": "fail"}[tone],
            "stone": asked.stone.id, "coating": asked.coating and asked.coating.id, "venue": asked.venue.id,
            "swatch": reading.swatch.hex, "seen": reading.seen.hex, "told": verdict(reading).text,
        }  # fmt: skip
    (folder / "key.json").write_text(json.dumps(key, indent=1), encoding="utf-8")
    print(f"{len(key)} pictures are in {folder}; write {folder / 'answers.txt'} before you open key.json.")


def score(folder):
    key = json.loads((folder / "key.json").read_text(encoding="utf-8"))
    answers = dict(line.split() for line in (folder / "answers.txt").read_text().splitlines() if line.strip())
    missed = [number for number, one in key.items() if answers.get(number) != one["verdict"]]
    print(f"{len(key) - len(missed)} of {len(key)} verdicts were told from the picture alone")
    for number in missed:
        print(f"{number}: answered {answers.get(number)}, but {key[number]}")


if __name__ == "__main__":
    into = Path(sys.argv[1])
    into.mkdir(parents=True, exist_ok=True)
    if sys.argv[2:] == ["--score"]:
        score(into)
    else:
        draw(into, int(sys.argv[2]) if sys.argv[2:] else 1)
