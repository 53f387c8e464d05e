"""Films against closed forms, the tmm package, a published vector, and the laws they must keep."""

import json
import math

import numpy as np
import pytest
import tmm
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.data import shared
from planner.optics.film import fresnel, stack

NM = 550.0
GLASS = 1.52
HIGH, LOW = 2.35, 1.46

# Textbook closed forms (Hecht, Optics; Macleod, Thin-Film Optical Filters), with their values.
CLOSED = {
    row["id"]: row["value"]
    for row in json.loads(shared("film_closed_forms.json").read_text(encoding="utf-8"))["examples"]
}


def quarter(n):
    return NM / 4 / n


def reflectance(layers, glass=GLASS, nm=NM, invariant=0.0):
    """Front reflectance of [(index, thickness)] in air on glass, after checking R + T = 1."""
    index = np.array([n for n, _ in layers], complex).reshape(-1, 1)
    film = stack([nm], [invariant], [[d for _, d in layers]], index, [1.0], [glass])
    assert film.front + film.through == pytest.approx(1.0, abs=1e-12)
    return float(film.front[0, 0, 0])


@pytest.mark.parametrize(
    ("example", "glass"),
    [("bare_glass_1.52", 1.52), ("bare_glass_1.5168", 1.5168), ("bare_lead_glass_1.62", 1.62)],
)
def test_bare_glass(example, glass):
    assert reflectance([], glass) == pytest.approx(CLOSED[example], abs=1e-14)
    assert fresnel([0.0], [1.0], [glass]).front.item() == pytest.approx(CLOSED[example], abs=1e-14)


def test_quarter_waves():
    assert reflectance([(1.38, quarter(1.38))]) == pytest.approx(CLOSED["qw_mgf2_on_1.52"], abs=1e-12)
    assert reflectance([(2.40, quarter(2.40))]) == pytest.approx(CLOSED["qw_tio2_on_1.52"], abs=1e-12)
    ideal = CLOSED["ideal_ar_index"]
    assert reflectance([(ideal, quarter(ideal))]) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("pairs", range(1, 6))
@pytest.mark.parametrize("capped", [False, True])
def test_quarter_wave_mirrors(pairs, capped):
    pair = [(HIGH, quarter(HIGH)), (LOW, quarter(LOW))]
    layers = pair * pairs + pair[:1] * capped
    expected = CLOSED[f"qw_stack_HL_N{pairs}" + "_H" * capped]
    assert reflectance(layers) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("pairs", [10, 30, 100])
def test_a_mirror_of_many_layers_neither_overflows_nor_loses_digits(pairs):
    # The same closed form, far beyond the table: T = 4Y/(1 + Y)², Y = nₛ (n_L/n_H)^(2N).
    film = stack(
        [NM], [0.0], [[quarter(HIGH), quarter(LOW)] * pairs], [[HIGH], [LOW]] * pairs, [1.0], [GLASS]
    )
    admittance = GLASS * (LOW / HIGH) ** (-2 * pairs)
    assert film.front.item() == pytest.approx(((admittance - 1) / (admittance + 1)) ** 2, abs=1e-12)
    # A trace of absorption takes the other road through the sums, with the same limit.
    absorbing = stack(
        [NM], [0.0], [[quarter(HIGH), quarter(LOW)] * pairs], [[HIGH + 1e-12j], [LOW]] * pairs, [1.0], [GLASS]
    )
    assert absorbing.front.item() == pytest.approx(film.front.item(), abs=1e-8)
    assert np.isfinite([absorbing.back.item(), absorbing.through.item()]).all()


@pytest.mark.parametrize("pairs", [1, 10, 100])
@pytest.mark.parametrize("trace", [0.0, 1e-3])
def test_single_precision_is_right_to_five_digits(pairs, trace):
    # Exact quarter waves, whose tangents are as large as they get, and thicknesses beside them.
    wavelengths, invariant = np.array([NM, 430.0, 700.0]), np.array([0.0, 0.6, 0.99, 1.2, 1.5])
    layers = np.repeat([[HIGH + trace * 1j], [LOW]] * pairs, 3, axis=1)
    nm = np.outer([1.0, 0.93, 1.21], [quarter(HIGH), quarter(LOW)] * pairs)
    given = (wavelengths, invariant, nm, layers, np.ones(3), np.full(3, GLASS))
    for one, other in zip(stack(*given).arrays(), stack(*given, single=True).arrays(), strict=True):
        assert other.dtype == np.float32
        assert np.allclose(one, other, atol=1e-5 if pairs < 100 else 5e-5)


@pytest.mark.parametrize("index", [1.38, 1.9, 2.4])
def test_a_half_wave_is_absent(index):
    assert reflectance([(index, 2 * quarter(index))]) == pytest.approx(
        CLOSED["half_wave_absentee"], abs=1e-12
    )


def test_brewster_and_critical_angle():
    sine = math.sin(math.radians(CLOSED["brewster_1.52"]))
    bare = fresnel([sine], [1.0], [GLASS], polarised=True)
    assert bare.front[1].item() == pytest.approx(0.0, abs=1e-14)
    assert bare.front[0].item() > 0.1
    critical = GLASS * math.sin(math.radians(CLOSED["critical_1.52"]))
    inside = fresnel([critical - 1e-6, critical + 1e-6], [1.0], [GLASS]).back[0, :, 0]
    assert 0.9 < inside[0] < 1.0
    assert inside[1] == 1.0


@pytest.mark.parametrize(("index", "example"), [(2.40, "shift_with_angle"), (1.46, "shift_with_angle_sio2")])
def test_the_peak_moves_to_shorter_waves_with_the_angle(index, example):
    # Half-wave film between equal media: reflectance falls to nothing where n d cos θ is λ/2.
    ratio = CLOSED[example]
    film = stack([NM * ratio], [math.sin(math.radians(45))], [[2 * quarter(index)]], [[index]], [1.0], [1.0])
    assert film.front.item() == pytest.approx(0.0, abs=1e-12)


def test_published_vector_with_an_absorbing_substrate():
    # S. J. Byrnes, tmm 0.2.0 (MIT), values from an independent program; arXiv:1603.02720.
    test = json.loads(shared("film_transfer_matrix.json").read_text(encoding="utf-8"))["test"]
    n = [complex(text) for text in test["n"]]
    film = stack(
        [test["lambda"]],
        [n[0].real * math.sin(test["theta0_rad"])],
        [test["d"][1:-1]],
        [[n[1]], [n[2]]],
        [n[0].real],
        [n[3]],
        polarised=True,
    )
    for row, pol in enumerate("sp"):
        assert film.front[row].item() == pytest.approx(test[pol]["R"], abs=1e-12)
        assert film.through[row].item() == pytest.approx(test[pol]["T"], abs=1e-12)
    assert np.isnan(film.back).all()


def random_stack(rng, *, absorbing):
    layers = rng.integers(1, 9)
    n = rng.uniform(1.3, 2.6, layers) + 0j
    if absorbing:
        n += 1j * rng.choice([0.0, 0.01, 0.5, 3.0], layers)
    return n, rng.uniform(5.0, 400.0, layers)


@pytest.mark.parametrize("case", range(240))
def test_random_stacks_agree_with_the_tmm_package(case):
    rng = np.random.default_rng([7, case])
    n, d = random_stack(rng, absorbing=case % 2 == 1)
    wl, outside = rng.uniform(380.0, 780.0), 1.0 if case % 5 else 1.4
    metal = case % 6 == 5
    substrate = complex(rng.uniform(0.2, 4.0), rng.uniform(0.5, 5.0)) if metal else 1.57
    theta = math.radians(rng.uniform(0.0, 85.0))

    beta = outside * math.sin(theta)
    film = stack([wl], [beta], [d], n[:, None], [outside], [substrate], polarised=True)
    mean = stack([wl], [beta], [d], n[:, None], [outside], [substrate])
    for row, pol in enumerate("sp"):
        peer = tmm.coh_tmm(pol, [outside, *n, substrate], [np.inf, *d, np.inf], theta, wl)
        assert film.front[row].item() == pytest.approx(peer["R"], abs=1e-9)
        assert film.through[row].item() == pytest.approx(peer["T"], abs=1e-9)
    assert mean.front.item() == pytest.approx(film.front.mean(), abs=1e-12)
    if metal:
        return
    # From inside the glass, in a third of the cases beyond the critical angle.
    beta = substrate * math.sin(theta)
    film = stack([wl], [beta], [d], n[:, None], [outside], [substrate], polarised=True)
    for row, pol in enumerate("sp"):
        peer = tmm.coh_tmm(pol, [substrate, *n[::-1], outside], [np.inf, *d[::-1], np.inf], theta, wl)
        assert film.back[row].item() == pytest.approx(peer["R"], abs=1e-9)
        assert film.through[row].item() == pytest.approx(peer["T"], abs=1e-9)


def test_frustrated_total_reflection_through_an_air_gap():
    # tmm again: two glasses, so close that light crosses the gap beyond the critical angle.
    for gap in (20.0, 200.0, 2000.0):
        film = stack([NM], [1.2], [[gap]], [[1.0]], [1.5], [1.5], polarised=True)
        for row, pol in enumerate("sp"):
            peer = tmm.coh_tmm(pol, [1.5, 1.0, 1.5], [np.inf, gap, np.inf], math.asin(1.2 / 1.5), NM)
            found = film.front[row].item(), film.back[row].item(), film.through[row].item()
            assert found == pytest.approx((peer["R"], peer["R"], peer["T"]), abs=1e-9)
    wide = stack([NM], [1.2], [[1e6]], [[1.0]], [1.5], [1.5])
    assert (wide.front.item(), wide.back.item(), wide.through.item()) == pytest.approx((1.0, 1.0, 0.0))


def test_cells_on_different_roads_do_not_disturb_each_other():
    # A film that absorbs at some wavelengths only, inside and outside the critical angle, one draw
    # thick and one thin, against the same cells one at a time.
    rng = np.random.default_rng(2)
    wl, beta = np.linspace(400, 700, 13), np.linspace(0.0, 1.49, 11)
    n = np.array([np.full(13, 2.3) + 1j * np.where(wl < 500, 0.05, 0.0), np.full(13, 1.38)])
    nm, glass = rng.uniform(10, 300, (5, 2)), 1.50 + 3e3 / wl**2
    whole = stack(wl, beta, nm, n, np.ones(13), glass)
    for t, a, w in np.ndindex(5, 11, 13):
        one = stack(wl[[w]], beta[[a]], nm[[t]], n[:, [w]], [1.0], glass[[w]])
        for found, alone in zip(whole.arrays(), one.arrays(), strict=True):
            assert found[t, a, w] == pytest.approx(alone.item(), abs=1e-13)


def test_threads_change_nothing():
    wl, rng = np.linspace(380, 780, 81), np.random.default_rng(4)
    n = np.array([np.full(81, 2.3 + 0.1j), np.full(81, 1.46)])
    args = (wl, np.linspace(0, 1.4, 20), rng.uniform(20, 300, (80, 2)), n, np.ones(81), np.full(81, 1.5))
    one, two = stack(*args, threads=1), stack(*args, threads=2)
    for a, b in zip(one.arrays(), two.arrays(), strict=True):
        np.testing.assert_array_equal(a, b)


layer = st.tuples(st.floats(1.2, 4.0), st.floats(0.0, 5.0), st.floats(0.0, 500.0))
stacks = st.lists(layer, max_size=6)


def as_arrays(layers, *, absorbing):
    index = np.array([complex(n, k if absorbing else 0.0) for n, k, _ in layers]).reshape(-1, 1)
    return [[d for _, _, d in layers]], index


@settings(max_examples=60, deadline=None)
@given(stacks, st.floats(0.0, 1.55), st.floats(380.0, 780.0))
def test_energy_is_kept_without_absorption(layers, beta, nm):
    thickness, index = as_arrays(layers, absorbing=False)
    film = stack([nm], [beta], thickness, index, [1.0], [1.6], polarised=True)
    np.testing.assert_allclose(film.front + film.through, 1.0, atol=1e-10)
    np.testing.assert_allclose(film.back + film.through, 1.0, atol=1e-10)


@settings(max_examples=60, deadline=None)
@given(stacks, st.floats(0.0, 1.55), st.floats(380.0, 780.0))
def test_absorption_only_takes(layers, beta, nm):
    thickness, index = as_arrays(layers, absorbing=True)
    film = stack([nm], [beta], thickness, index, [1.0], [1.6], polarised=True)
    for reflected in (film.front, film.back):
        assert (reflected >= 0).all()
        assert (film.through >= 0).all()
        assert (reflected + film.through <= 1 + 1e-10).all()


@settings(max_examples=60, deadline=None)
@given(stacks, st.floats(0.0, 0.99), st.floats(380.0, 780.0))
def test_reciprocity(layers, beta, nm):
    # Turned over, a film transmits the same and its two reflectances change places.
    thickness, index = as_arrays(layers, absorbing=True)
    film = stack([nm], [beta], thickness, index, [1.0], [1.6], polarised=True)
    turned = stack([nm], [beta], [thickness[0][::-1]], index[::-1], [1.6], [1.0], polarised=True)
    np.testing.assert_allclose(film.through, turned.through, atol=1e-10)
    np.testing.assert_allclose(film.front, turned.back, atol=1e-10)
    np.testing.assert_allclose(film.back, turned.front, atol=1e-10)


def test_beyond_the_critical_angle_only_absorption_dims_the_inside():
    beta = [1.2]
    clear = stack([NM], beta, [[100.0]], [[2.3]], [1.0], [GLASS])
    dyed = stack([NM], beta, [[100.0]], [[2.3 + 0.1j]], [1.0], [GLASS])
    for film in (clear, dyed):
        assert film.front.item() == 1.0
        assert film.through.item() == 0.0
    assert clear.back.item() == 1.0
    assert dyed.back.item() < 0.9


def test_grazing_a_layer_exactly_is_finite():
    film = stack([NM], [1.0], [[200.0]], [[1.0]], [1.3], [1.5])
    assert film.front + film.through == pytest.approx(1.0, abs=1e-6)


def test_answers_cannot_be_written_over():
    film = fresnel([0.0], [1.0], [1.5])
    with pytest.raises(ValueError, match="read-only"):
        film.front[...] = 0.0


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"thickness": [[100.0, 50.0]]}, r"thickness has shape \(1, 2\) where \(1, 1\) was expected"),
        ({"thickness": [[-1.0]]}, "thickness must be at least 0 and finite; found -1"),
        ({"invariant": [-0.1]}, "invariant must be at least 0"),
        ({"layer_index": [[2.0 - 0.1j]]}, "k must be at least 0"),
        ({"outside_index": [1.0 + 0.1j]}, "must have a real index"),
        ({"substrate_index": [1.5, 1.5]}, "substrate_index has shape"),
        ({"thickness": [[math.nan]]}, "thickness must be at least 0 and finite; found nan"),
        ({"thickness": [[math.inf]]}, "found inf"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(change, message):
    good = {
        "wavelengths": [NM],
        "invariant": [0.0],
        "thickness": [[100.0]],
        "layer_index": [[2.0]],
        "outside_index": [1.0],
        "substrate_index": [1.5],
    }
    with pytest.raises(ValueError, match=message):
        stack(**(good | change))
