"""Twenty pairings as pictures without words, to be judged blind: would this pass for the swatch?

    python tests/speed/blind_verdicts.py FOLDER [SEED]     draws the pictures, and FOLDER-key.txt
    python tests/speed/blind_verdicts.py FOLDER --score    compares answers.txt with it

Answers are "01 pass" or "01 fail", a line each. The key lies beside the folder, out of sight.

Each shows what leads the main screen: swatch (left) and seen colour (right) as two patches that touch, below
them the way from one through the other, with its bracket and its pointer, in as many steps as the screen has,
and the cloth as it is seen from there. Stones, coatings and venues are drawn from the demo at random; the
swatch lies a random way off what they read as, so that near misses are among them. 7 to 13 of them pass,
and nobody is told how many. Those which the planner itself calls "just about", or unsure, are left out: they
have no right answer.
"""

import json
import sys
from itertools import groupby
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

import planner  # noqa: F401 - before NumPy
from planner.catalogue import load
from planner.colour.screen import ink_on, lab_to_srgb, parse_hex, to_hex
from planner.data import demo
from planner.picture.view import view
from planner.reading.fit import holds
from planner.reading.leeway import leeway
from planner.reading.matter import QUICK
from planner.reading.question import Question, can_carry, typed_colour
from planner.reading.read import read
from planner.reading.verdict import verdict

COUNT = 20
FURTHEST = 40.0
"""CIELAB units from the seen colour to the swatch, at most."""
WIDE, PATCH, CELLS, ENLARGED = 900, 260, (150, 50), 6
STEPS, STRIP, BRACKET = 30, 36, 30
"""Steps of the way, and how high it is and its bracket."""
THICK, INK, GROUND = 4, "#e0e0e0", "#131313"
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
    image = Image.new("RGB", (WIDE, PATCH + STRIP + BRACKET + CELLS[1] * ENLARGED), GROUND)
    for number, seen in enumerate((reading.swatch, reading.seen)):
        image.paste(tuple(parse_hex(seen.hex)), (number * WIDE // 2, 0, (number + 1) * WIDE // 2, PATCH))
    draw_way(ImageDraw.Draw(image), leeway(reading))
    cloth = Image.fromarray(view(reading.question, *CELLS, "seats").frame())
    image.paste(cloth.resize((WIDE, CELLS[1] * ENLARGED), Image.Resampling.NEAREST),
                (0, PATCH + STRIP + BRACKET))  # fmt: skip
    return image


def draw_way(on, way):
    """Draw the way as the screen does: steps of colour, a pointer on them, a bracket below."""
    step = WIDE / STEPS
    colours = [to_hex(one) for one in lab_to_srgb(way.colours(STEPS))[0]]
    for number, colour in enumerate(colours):
        on.rectangle((number * step, PATCH, (number + 1) * step, PATCH + STRIP), fill=colour)
    low, at, high = ((way.step(one, STEPS) + 0.5) * step for one in (way.low, way.seen, way.high))
    middle, ink = PATCH + STRIP / 2, ink_on(colours[way.step(way.seen, STEPS)])
    on.line((low, middle, high, middle), fill=ink, width=2)
    on.polygon([(at - 9, middle - 8), (at + 9, middle - 8), (at, middle + 9)], fill=ink)
    top, line = PATCH + STRIP, PATCH + STRIP + BRACKET / 2
    for does, run in groupby(enumerate(way.outcomes(STEPS)), key=lambda one: holds(one[1])):
        if not does:
            continue
        told = list(run)
        left, right = told[0][0] * step, (told[-1][0] + 1) * step
        on.line((left + THICK, top, left + THICK, line + THICK / 2), fill=INK, width=THICK)
        if told[-1][0] + 1 < STEPS:
            on.line((right - THICK, top, right - THICK, line + THICK / 2), fill=INK, width=THICK)
        for number, outcome in told:
            for part in (0.0, 0.5):
                start = (number + part) * step + THICK / 2
                on.line((start, line, start + step * (0.5 if outcome == "passes" else 0.25), line), fill=INK,
                        width=THICK)  # fmt: skip


def key_of(folder):
    return folder.with_name(f"{folder.name}-key.txt")


def draw(folder, seed):
    rng, palette = np.random.default_rng(seed), load(demo())
    passing = int(rng.integers(7, 14))
    wanted = {"good": passing, "bad": COUNT - passing}
    found = {"good": [], "bad": []}
    while any(len(found[tone]) < wanted[tone] for tone in wanted):
        reading = candidate(palette, rng)
        tone = verdict(reading).tone
        if leeway(reading) is not None and tone in found and len(found[tone]) < wanted[tone]:
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
    key_of(folder).write_text(json.dumps(key, indent=1), encoding="utf-8")
    print(f"{len(key)} pictures are in {folder}; write {folder / 'answers.txt'} before you open the key.")


def score(folder):
    key = json.loads(key_of(folder).read_text(encoding="utf-8"))
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
