"""How often each warning fires on the pairings that a maker would look at.

A warning that always fires is soon read by nobody. Taken are the best pairings of the demo palette
for every swatch in every venue, each asked as a job would: with two other venues, and with the stone
in its largest size on the same costume.

    python tests/reading/warning_rates.py      every swatch and venue, ten pairings each; about an hour
    python tests/reading/warning_rates.py few  every third swatch, each in one venue, four each; some minutes
"""

import sys
from collections import Counter
from dataclasses import replace
from itertools import cycle, islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from made_readings import asked, palette

from planner.reading.elsewhere import elsewhere as elsewhere_of
from planner.reading.matter import QUICK
from planner.reading.rank import rank
from planner.reading.read import read
from planner.reading.sentence import cannot_tell
from planner.reading.warn import CODES, warnings

ASKED = (("blend", "seats"), ("blend", "family"), ("blend", "arm"), ("tone", "seats"), ("contrast", "seats"))


def best(swatch, venue, count, wish, tolerance):
    """Return the questions of the best pairings.

    To save time coatings are tried only on the few stones that are nearest when uncoated.
    """
    start = asked("tackle-clear", "none", swatch, venue, size="SS20", wish=wish, tolerance=tolerance)
    near = {one.question.stone.id for one in rank(palette(), start, coated=False)[: count // 2]}
    found = rank(palette(), start, keep=lambda stone, _: stone.id in near)
    return [one.question for one in found[:count]]


def concerns(question):
    """Return the warnings on one pairing, and whether no answer can be given at all."""
    venues = list(palette().venues.values())
    at = venues.index(question.venue)
    others = list(islice(cycle(venues), at + 1, at + 3))
    elsewhere = [*elsewhere_of(question, others)]
    reading = read(question, QUICK)
    larger = read(replace(question, size=question.stone.sizes[-1]), QUICK)
    return warnings(reading, elsewhere, (larger,)), cannot_tell(reading)


def rates(places, count, wish="blend", tolerance="seats"):
    """Return how many pairings were looked at, and the share on which each warning fires or is severe.

    `places` are pairs of a swatch and a venue.
    """
    fired, severe, total = Counter(), Counter(), 0
    for swatch, venue in places:
        for question in best(swatch, venue, count, wish, tolerance):
            found, unknown = concerns(question)
            total += 1
            fired.update(one.code for one in found)
            severe.update(one.code for one in found if one.severity == "severe")
            fired["can't tell"] += unknown is not None
            fired["no warning"] += not found
            fired["no severe one"] += not any(one.severity == "severe" for one in found)
    names = (*CODES, "can't tell", "no warning", "no severe one")
    return (
        total,
        {name: fired[name] / total for name in names},
        {name: severe[name] / total for name in CODES},
    )


def table(total, fired, severe):
    """Return the rates as text."""
    rows = [f"{'':20} {total} pairings   severe"]
    rows += [
        f"{name:20} {share:8.0%} {severe.get(name, 0.0):12.0%}"
        if name in severe
        else f"{name:20} {share:8.0%}"
        for name, share in fired.items()
    ]
    return "\n".join(rows)


def main():
    swatches, venues = list(palette().swatches), list(palette().venues)
    if sys.argv[1:] == ["few"]:
        places = [(swatches[3 * at % len(swatches)], venue) for at, venue in enumerate(venues)]
        for wish in ("blend", "tone", "contrast"):
            print(f"\n{wish}, seats\n{table(*rates(places, 4, wish))}", flush=True)
        return
    places = [(swatch, venue) for venue in venues for swatch in swatches]
    for number, (wish, tolerance) in enumerate(ASKED):
        # The usual question in full, the others on every third place.
        chosen = places[:: 3 if number else 1]
        print(f"\n{wish}, {tolerance}\n{table(*rates(chosen, 10, wish, tolerance))}", flush=True)


if __name__ == "__main__":
    main()
