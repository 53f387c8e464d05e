"""Facts of the trade (common practice, no source), and the region of films in which each holds.

Under small lamps an aurora film on a mid blue turns a good part of its flash green or bluish green,
and its glow toward green; on jet it reads blue to bluish green; on clear glass the glow stays near
neutral while the flash holds several hue families; a larger stone of the same glass is deeper.

Nothing is chosen so that these pass: one-layer films of three oxides are swept over thickness,
evenness, wedge, waviness and lamp size, and the share of the swept region in which each fact holds is
printed. ``PLANNER_FULL=1 pytest -n 0 -s tests/reading/test_trade_facts.py`` sweeps finely (minutes);
otherwise every second or third step is taken.
"""

import os
from itertools import product

import numpy as np
import pytest

from planner.catalogue import palette as palettes
from planner.catalogue.cut import Cut
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Venue
from planner.colour.cielab import lab_to_lch
from planner.colour.grid import WAVELENGTHS
from planner.colour.names import FAMILIES, FLASH_FAMILIES, family_index, flash_family
from planner.data import demo
from planner.optics.materials import refractive_index
from planner.optics.table import Film
from planner.reading.look import flash_xyz, glow_xyz
from planner.reading.matter import QUICK, States, absorption, gem, states
from planner.reading.read import perceived
from planner.reading.scene import scene
from planner.reading.sparkle import CONTRAST, OUTSHONE

FULL = os.environ.get("PLANNER_FULL") == "1"
OXIDES = ("TiO2", "ZrO2", "Nb2O5")
NM = np.arange(100.0, 221.0, 10.0 if FULL else 20.0)
EVENNESS = np.linspace(0.0, 1.0, 5 if FULL else 3)
WEDGES = (0.0, 0.1, 0.25, 0.5, 1.0) if FULL else (0.0, 0.25, 1.0)
WAVINESS = (0.0, 0.1, 0.25, 0.5, 1.0) if FULL else (0.1, 0.5)
LAMPS = (0.25, 0.5, 1.0, 2.0, 5.0, 10.0) if FULL else (0.5, 2.0)

GOOD_PART = 0.2
"""Share of a blue stone's flash that must be green or blue green to be "a good part"."""
NEAR_NEUTRAL = 8.0
"""C* of a clear stone's glow that still passes for colourless beside white cloth."""
SEVERAL, EACH = 3, 0.08
"""How many hue families a clear stone's flash must hold, and how much of it each."""

GREENS = [FLASH_FAMILIES.index(name) for name in ("green", "blue green")]


def venue(lamp: float) -> Venue:
    return Venue.model_validate(
        {
            "id": f"lamp-{lamp:g}".replace(".", "-"), "name": "One lamp in front", "basis": "invented",
            "distance": 10.0,
            "lights": [
                {
                    "name": "lamp", "spectrum": {"daylight": 5600}, "lux": 1000, "elevation": 20,
                    "azimuth": 20, "size": lamp,
                }
            ],
            "surround": {"lux": 100, "spectrum": {"daylight": 5600}},
            "floor": {"reflectance": 0.1},
        }
    )  # fmt: skip


def stone(name: str, **body) -> Stone:
    return Stone.model_validate(
        {"id": name, "name": name, "material": "glass", "cut": "twelve", "sizes": ["SS20"],
         "basis": "invented", **body}
    )  # fmt: skip


STONES = {
    "blue": stone("blue", colourants={"cobalt": 0.6}),
    "jet": stone("jet", opaque=True),
    "clear": stone("clear"),
}


@pytest.fixture(scope="module")
def cut() -> Cut:
    return palettes.load(demo()).cuts["twelve"]


def film(oxide: str) -> States:
    """All thicknesses and evennesses of one oxide, as states."""
    nm, even = (part.ravel() for part in np.meshgrid(NM, EVENNESS, indexing="ij"))
    index = refractive_index(oxide, WAVELENGTHS)[None]
    return States(Film(index, nm[:, None], even), None, np.ones(len(nm)), np.zeros(1), 0.0, 0)


def shares(flashes, glow_y, white):
    """(T, F) shares by luminance, as `planner.reading.sparkle` has them, for unrelated states."""
    xyz = flashes.xyz[:, :, 0]
    bright, measure = xyz[..., 1], flashes.measure[:, None]
    usual = (measure * bright**2).sum(axis=0) / np.maximum((measure * bright).sum(axis=0), 1e-30)
    seen = measure * bright * (bright > np.maximum(CONTRAST * glow_y, OUTSHONE * usual))
    family = flash_family(xyz, white)
    found = np.stack([(seen * (family == i)).sum(axis=0) for i in range(len(FLASH_FAMILIES))], axis=1)
    return found / np.maximum(found.sum(axis=1, keepdims=True), 1e-30)


def facts(cut: Cut, oxide: str, lamp: float, waviness: float, wedge: float) -> dict[str, np.ndarray]:
    """For each film of an oxide, whether each fact holds."""
    return facts_of(cut, film(oxide), lamp, waviness, wedge)


def facts_of(cut: Cut, states_: States, lamp: float, waviness: float, wedge: float) -> dict[str, np.ndarray]:
    """For each film, whether each fact holds."""
    place = scene(venue(lamp))
    made = cut.model_copy(update={"id": f"cut-{waviness}-{wedge}", "waviness": waviness, "wedge": wedge})
    lab, flash, bare = {}, {}, {}
    for name, one in STONES.items():
        glass, size = gem(one, made, QUICK), np.array([4.7])
        body = absorption(one, made)[None]
        grey = np.full(len(WAVELENGTHS), 0.2)
        glow = glow_xyz(glass, None, states_, body, size, (place,), grey)[:, 0, 0]
        plain = glow_xyz(glass, None, states(None, full=False), body, size, (place,), grey)[0, 0, 0]
        lab[name], bare[name] = perceived(glow, place), perceived(plain, place)
        if name != "jet":
            found = flash_xyz(glass, None, states_, body, size, place, by_facet=False)
            flash[name] = shares(found, glow[:, 1], place.white_xyz)
    hue = lab_to_lch(lab["blue"])[:, 2]
    families = np.array(FAMILIES)[family_index(lab["jet"])]
    return {
        "blue flashes green": flash["blue"][:, GREENS].sum(axis=1) >= GOOD_PART,
        "blue glows greener": hue < lab_to_lch(bare["blue"])[2] - 2.0,
        "jet reads blue to bluish green": np.isin(families, ("blue", "blue green")),
        "clear glows neutral": lab_to_lch(lab["clear"])[:, 1] <= NEAR_NEUTRAL,
        "clear flashes several hues": (flash["clear"] >= EACH).sum(axis=1) >= SEVERAL,
    }


@pytest.fixture(scope="module")
def swept(cut):
    rows = {}
    for oxide, lamp, waviness, wedge in product(OXIDES, LAMPS, WAVINESS, WEDGES):
        rows[oxide, lamp, waviness, wedge] = facts(cut, oxide, lamp, waviness, wedge)
    return rows


def report(swept) -> tuple[dict[str, float], float]:
    names = list(next(iter(swept.values())))
    everywhere = {name: float(np.mean([row[name].mean() for row in swept.values()])) for name in names}
    together = {key: np.logical_and.reduce(list(row.values())) for key, row in swept.items()}
    print("\nShare of the swept region in which each fact holds:")
    for name, share in everywhere.items():
        print(f"  {name:32s} {share:5.0%}")
    print(f"  {'all together':32s} {np.mean(list(together.values())):5.0%}")
    even = np.repeat(EVENNESS[None], len(NM), axis=0).ravel()
    nm = np.repeat(NM, len(EVENNESS))
    print("All together, share by")
    for oxide in OXIDES:
        mean = np.mean([row for key, row in together.items() if key[0] == oxide], axis=0)
        by_nm = " ".join(f"{one:.0f}:{mean[nm == one].mean():.0%}" for one in NM)
        by_even = " ".join(f"{one:.2f}:{mean[even == one].mean():.0%}" for one in EVENNESS)
        print(f"  {oxide:6s} nm {by_nm}\n  {'':6s} evenness {by_even}")
    for place, title, values in ((1, "lamp", LAMPS), (2, "waviness", WAVINESS), (3, "wedge", WEDGES)):
        line = " ".join(
            f"{one:g}:{np.mean([row for key, row in together.items() if key[place] == one]):.0%}"
            for one in values
        )
        print(f"  {title} {line}")
    for name in names:
        by_nm = " ".join(
            f"{one:.0f}:{np.mean([row[name][nm == one].mean() for row in swept.values()]):.0%}" for one in NM
        )
        print(f"  {name}: nm {by_nm}")
    return everywhere, float(np.mean(list(together.values())))


@pytest.mark.campaign
def test_every_fact_holds_for_a_part_of_the_plausible_films(swept):
    everywhere, together = report(swept)
    for name, share in everywhere.items():
        assert share > 0.1, name
    assert together > 0.0


def nominal(coating) -> States:
    index = np.stack([refractive_index(layer.material, WAVELENGTHS) for layer in coating.layers])
    nm = np.array([[layer.nm for layer in coating.layers]])
    return States(Film(index, nm, np.array([coating.lay.evenness])), None, np.ones(1), np.zeros(1), 0.0, 0)


def test_the_demos_auroras_lie_in_the_region_where_all_facts_hold(cut):
    """On the cut, under the lamp (half a degree) and with the imperfections that they are invented for."""
    coatings = palettes.load(demo()).coatings
    print()
    for name, coating in coatings.items():
        if "aurora" not in name or coating.where != "crown" or coating.lay.angle:
            continue
        held = {
            fact: bool(row[0])
            for fact, row in facts_of(cut, nominal(coating), 0.5, cut.waviness, cut.wedge).items()
        }
        print(f"  {name}: " + (", ".join(f"NOT {fact}" for fact, so in held.items() if not so) or "all hold"))
        assert all(held.values()), name


def test_a_larger_stone_of_the_same_glass_is_deeper(cut):
    place, one = scene(venue(0.5)), STONES["blue"]
    body = np.repeat(absorption(one, cut)[None], 3, axis=0)
    sizes = np.array([2.8, 4.7, 7.2])
    glass, grey = gem(one, cut, QUICK), np.full(len(WAVELENGTHS), 0.2)
    xyz = glow_xyz(glass, None, states(None, full=False), body, sizes, (place,), grey)[0, :, 0]
    lightness = perceived(xyz, place)[:, 0]
    assert lightness[0] > lightness[1] + 1 > lightness[2] + 2


def test_the_switch_a_parallel_foil_merges_the_reflections_of_table_and_foil_and_a_wedge_parts_them(cut):
    """A wedge beyond the lamp's size parts the film's outer reflection from the foil's."""
    at = {wedge: facts(cut, "TiO2", 0.25, 0.0, wedge)["blue flashes green"].mean() for wedge in (0.0, 0.5)}
    print("\nshare of TiO2 films with a green part in the flash of blue, by wedge:", at)
    assert at[0.5] > at[0.0]
