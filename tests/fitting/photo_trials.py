"""One trial of a photographed card: fitted from its photographs, held against what was drawn."""

from dataclasses import dataclass
from pathlib import Path

import card_photos
import made_cards as made
import numpy as np

from planner.colour.difference import delta_e
from planner.fitting.coating import fit_coating
from planner.fitting.films import MATERIALS
from planner.fitting.foresee import foresee
from planner.fitting.photo.shot import read_shot
from planner.fitting.photo.together import together
from planner.fitting.sight import Sample
from planner.swatch.photo_areas import propose_white


@dataclass
class Trial:
    """What became of one card."""

    among: bool | None
    """Whether the true film is left; None where it is no candidate itself."""
    fits: bool
    read_apart: np.ndarray
    """ΔE00 of each kind of stone as read off the photographs."""
    read_error: np.ndarray
    """Root mean square ΔE00 that was told of it."""
    apart: np.ndarray
    within: np.ndarray
    fitted: object
    again: int
    """How often a photograph was refused and taken again, darker."""


def _taken(path, rng, on_card, true, concentration, options):
    """Return a shot that can be read, its photograph, and how often it was taken again, darker."""
    exposure = float(rng.uniform(0.5, 0.8))
    for again in range(5):
        photo = card_photos.photograph(
            path, rng, on_card, true, concentration, exposure=exposure * 0.75**again, **options
        )
        areas = [one for row in photo.boxes for one in row]
        try:
            shot = read_shot(photo.picture, areas, white=propose_white(photo.picture), light="daylight")
        except ValueError as problem:
            reason = str(problem)
            continue
        return shot, photo, again
    raise AssertionError(f"no photograph could be read: {reason}")


def trial(rng, folder, shots=2):
    """Return one card photographed, fitted and held against the truth."""
    layer = str(rng.choice(made.TRUE)), float(rng.uniform(60, 380)), float(rng.uniform(0, 1))
    true, coloured = made.film(*layer), str(rng.choice(made.COLOURED))
    concentration = {
        name: max(0.0, 1.0 + one.body_spread * rng.normal()) for name, one in made.palette().stones.items()
    }
    on_card = [made.placed(one) for one in ("tackle-jet", "tackle-clear", coloured)]
    venue, ground = card_photos.room(rng), float(rng.choice([0.05, 0.4, 0.8]))
    taken, chosen, again = [], [[] for _ in on_card], 0
    for number in range(shots):
        tilt = (1 if number % 2 else -1) * float(rng.uniform(4, 14))
        options = {
            "tilt": tilt, "venue": venue, "ground": ground, "uneven_light": float(rng.uniform(0, 0.3)),
            "dark": float(rng.uniform(4, 10)),
        }  # fmt: skip
        path = Path(folder) / f"card{number}.jpg"
        shot, photo, more = _taken(path, rng, on_card, true, concentration, options)
        taken.append(shot)
        again += more
        first = 0
        for kind, row in enumerate(photo.boxes):
            chosen[kind].append(range(first, first + len(row)))
            first += len(row)
    seen = [together(taken, one, "made").seen for one in chosen]
    fitted = fit_coating([Sample(at, one) for at, one in zip(on_card, seen, strict=True)])
    others = [
        made.placed(one) for one in (*made.ELSEWHERE, *(one for one in made.COLOURED if one != coloured))
    ]
    said = foresee(fitted, others)
    real = [made.glow(one, true, concentration[one.stone.id]) for one in others]
    return Trial(
        made.is_among(fitted, true) if layer[0] in MATERIALS else None, fitted.fits,
        np.array([
            delta_e(made.glow(at, true, concentration[at.stone.id]), one.lab)
            for at, one in zip(on_card, seen, strict=True)
        ]),
        np.array([one.error for one in seen]),
        np.array([delta_e(one, two.lab) for one, two in zip(real, said, strict=True)]),
        np.array([one.within for one in said]), fitted, again,
    )  # fmt: skip


def summary(trials):
    """Return what to print of trials."""
    apart, within = (np.concatenate([getattr(one, key) for one in trials]) for key in ("apart", "within"))
    read, told = (np.stack([getattr(one, key) for one in trials]) for key in ("read_apart", "read_error"))
    candidates = [one for one in trials if one.among is not None]
    return (
        f"{len(trials)} cards: true film left in {np.mean([one.among for one in candidates]):.3f}; "
        f"{np.mean(apart <= within):.3f} of {len(apart)} predictions inside, median half-width "
        f"{np.median(within):.1f}, median error {np.median(apart):.1f}; a film fits in "
        f"{np.mean([one.fits for one in trials]):.3f}; "
        f"{np.mean([len(one.fitted.orders) for one in trials]):.1f} kinds of film left; "
        f"{sum(one.again for one in trials)} photographs taken again, darker; colours read off by rms "
        f"{', '.join(f'{one:.1f}' for one in np.sqrt((read**2).mean(axis=0)))} (jet, clear, coloured), told "
        f"{', '.join(f'{one:.1f}' for one in np.sqrt((told**2).mean(axis=0)))}"
    )


def within(found, true, slack):
    """Say whether an area lies within another, give or take some pixels."""
    return (
        found.x >= true.x - slack and found.y >= true.y - slack
        and found.x + found.width <= true.x + true.width + slack
        and found.y + found.height <= true.y + true.height + slack
    )  # fmt: skip


def overlap(one, other):
    """Return the share of two areas together that both have."""
    wide = min(one.x + one.width, other.x + other.width) - max(one.x, other.x)
    high = min(one.y + one.height, other.y + other.height) - max(one.y, other.y)
    both = max(0, wide) * max(0, high)
    return both / (one.width * one.height + other.width * other.height - both)
