"""Which films a sample card leaves, how they are carried, and what would tell them apart."""

import made_cards as made
import numpy as np
import pytest

from planner.fitting.card import wider
from planner.fitting.coating import coatings, fit_coating
from planner.fitting.films import bare, films, glows
from planner.fitting.foresee import telling
from planner.fitting.sight import Sample, Sight, sight
from planner.fitting.sparkles import FlashSeen

STONES = ("tackle-jet", "tackle-clear", "shackle-red")
TRUE = ("TiO2", 160.0, 0.7)


def samples(stones=STONES, film=TRUE, source="measured"):
    coating = made.film(*film)
    return [
        Sample(made.placed(one), Sight("made", source, made.glow(made.placed(one), coating), None))
        for one in stones
    ]


def test_a_film_measured_on_three_stones_is_found():
    fitted = fit_coating(samples())
    assert fitted.fits
    first = fitted.orders[0]
    assert first.optical == pytest.approx(160 * 2.347, rel=0.05)
    assert first.evenness == pytest.approx(0.7, abs=0.2)
    assert fitted.weight.sum() == pytest.approx(1.0)
    assert sum(one.share for one in fitted.orders) == pytest.approx(1.0)


def test_one_picked_colour_leaves_several_orders_and_all_are_carried():
    fitted = fit_coating(samples(("tackle-jet",), source="picked"))
    assert len(fitted.orders) > 1
    entries = coatings(fitted, "locker-aurora", "Locker aurora")
    assert [one.id for one in entries] == [f"locker-aurora-{letter}" for letter in "abcdefg"[: len(entries)]]
    assert all(one.basis == "estimated" for one in entries)
    # What the card leaves open is wider than what it leaves open when measured.
    sure = coatings(fit_coating(samples()), "locker-aurora", "Locker aurora")
    assert entries[0].index_spread > sure[0].index_spread


def test_films_that_are_left_span_what_a_saved_entry_spans():
    fitted = fit_coating(samples(("tackle-jet",), source="picked"))
    for order, entry in zip(fitted.orders, coatings(fitted, "x", "X"), strict=False):
        low, high = order.range_nm
        assert low <= entry.layers[0].nm <= high


def test_more_samples_leave_fewer_films():
    few = fit_coating(samples(STONES[:1], source="picked"))
    more = fit_coating(samples(source="picked"))
    assert len(more.kept) < len(few.kept)


def test_the_sample_said_to_tell_most_does():
    """The interval of other stones narrows more by the first of the list than by the last."""
    first = samples(("tackle-clear",), source="picked")
    fitted = fit_coating(first)
    choice = telling(fitted, [made.placed(one) for one in ("tackle-jet", "baize-green", "lanyard-orange")])
    assert [one.bits for one in choice] == sorted((one.bits for one in choice), reverse=True)
    best, worst = (
        fit_coating([*first, *samples((one.placed.stone.id,), source="picked")])
        for one in (choice[0], choice[-1])
    )
    entropy = [-(one.weight * np.log(one.weight)).sum() for one in (best, worst)]
    assert entropy[0] < entropy[1]


def test_a_clear_stone_tells_least():
    """All that a film turns back, a foiled clear stone sends out elsewhere: its glow stays white."""
    fitted = fit_coating(samples(("shackle-red",), source="picked"))
    choice = telling(fitted, [made.placed(one) for one in ("tackle-jet", "tackle-clear", "baize-green")])
    assert choice[-1].placed.stone.id == "tackle-clear"


def test_colours_that_no_film_gives_are_said_to_be_none():
    wrong = [Sample(made.placed("tackle-jet"), sight("ff2010", "photo")), *samples(("shackle-red",))]
    fitted = fit_coating(wrong)
    assert not fitted.fits
    assert fitted.apart[0] > 15


def test_a_flash_narrows_what_a_glow_leaves():
    seen = samples(("tackle-jet",), source="picked")
    without = fit_coating(seen)
    venue = made.palette().venues["followspot"]
    blue, red = (
        fit_coating(seen, [FlashSeen(made.placed("tackle-clear"), venue, one)]) for one in ("blue", "red")
    )
    assert set(blue.kept) <= set(without.kept)
    assert not np.array_equal(blue.weight, red.weight)


def test_what_cannot_be_fitted_is_refused():
    with pytest.raises(ValueError, match="needs the glow of at least one"):
        fit_coating([])
    noon = made.palette().venues["noon"]
    with pytest.raises(ValueError, match="no small lamp"):
        fit_coating(samples(), [FlashSeen(made.placed("tackle-clear"), noon, "blue")])


def test_candidates_look_as_the_planner_reads_them():
    """The interpolated grid against the planner's own reading of the same films."""
    rng = np.random.default_rng(1)
    every, at = films(), made.placed("shackle-red")
    (looks,) = glows([at])
    from planner.colour.difference import delta_e
    from planner.fitting.films import MATERIALS

    off = [
        delta_e(
            looks[one, 1],
            made.glow(at, made.film(MATERIALS[every.material[one]], every.nm[one], every.evenness[one])),
        )
        for one in rng.choice(len(every.nm), 12)
    ]
    print(f"\ngrid against reading: ΔE00 {np.mean(off):.2f} on average, {max(off):.2f} at most")
    assert max(off) < 1.0
    assert delta_e(bare(at), made.glow(at, None)) < 0.5


def test_a_quarter_wave_of_magnesium_fluoride_darkens_jet():
    """The classic film against reflections (Macleod, "Thin-Film Optical Filters", from memory: glass of
    index 1.52 falls from 4.2 to 1.3 per cent); titania, above the index of glass, brightens it."""
    every, at = films(), made.placed("tackle-jet")
    (looks,) = glows([at])
    even = every.evenness == 0.0
    fluoride, titania = (
        looks[even & (every.material == kind) & (every.nm == nm)][0, 0, 0]
        for kind, nm in ((0, 100.0), (5, 60.0))
    )
    assert fluoride < bare(at)[0] - 3
    assert titania > bare(at)[0] + 15


@pytest.mark.parametrize("count", [1, 2, 3, 6])
def test_the_limit_of_misfit_is_chi_squared(count):
    """Against SciPy's chi-squared distribution."""
    from scipy.stats import chi2

    some = samples(("tackle-jet",)) * count
    limit = chi2.ppf(0.999, 3 * count)
    assert wider(limit * 0.98, some) == 1.0
    assert wider(limit * 1.02, some) > 1.0
