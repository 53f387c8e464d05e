"""The eye's glare, against itself and the published equations for larger angles.

CIE 135/1-1999's total glare function stands in the planner from memory. It is held against the integral
that any spread of light has, and against two published forms for larger angles: the age-adjusted
Stiles-Holladay equation as J. J. Vos gives it ("On the cause of disability glare", Clinical and
Experimental Optometry 86, 2003, abstract: 1 to 30 degrees, "great individual spread"), and the CIE General
Disability Glare equation (CIE 146:2002; from memory).
"""

import numpy as np
import pytest

from planner.picture.glare import halo_of, scattered, spread

ANGLES = np.array([0.2, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0, 20.0, 30.0])


@pytest.mark.parametrize("age", [20.0, 35.0, 70.0])
def test_all_light_of_a_point_is_found_again(age):
    degrees = np.geomspace(1e-5, 90.0, 100_000)
    ring = 2.0 * np.pi * np.sin(np.radians(degrees))
    whole = np.trapezoid(spread(degrees, age) * ring, np.radians(degrees))
    print(f"integral of the glare function at {age:.0f} years: {whole:.3f}")
    assert whole == pytest.approx(1.0, abs=0.07)


@pytest.mark.parametrize("age", [20.0, 35.0, 70.0])
def test_wide_angles_are_the_general_equations(age):
    general = 10.0 / ANGLES**3 + (5.0 / ANGLES**2 + 0.05 / ANGLES) * (1.0 + (age / 62.5) ** 4) + 0.00125
    ratio = spread(ANGLES, age) / general
    print(f"total glare function over the general equation at {age:.0f} years: {ratio.round(2)}")
    assert (np.abs(np.log2(ratio)) < 0.75).all()


def test_wide_angles_are_stiles_and_holladays_within_a_factor_of_two():
    wide = ANGLES[ANGLES >= 1.0]
    ratio = spread(wide, 35.0) * wide**2 / (10.0 * (1.0 + 0.5**4))
    assert (np.abs(np.log2(ratio)) < 1.0).all()


def test_scattering_keeps_light_and_leaves_even_light_alone():
    image = np.zeros((61, 81, 3), np.float32)
    image[30, 40] = 1000.0
    # A little falls beyond the edges.
    assert scattered(image, 0.05).sum() == pytest.approx(image.sum(), rel=5e-3)
    flat = np.full((20, 30, 3), 0.3, np.float32)
    np.testing.assert_allclose(scattered(flat, 0.05), flat, rtol=1e-4)


def test_a_point_spreads_as_the_function_says():
    image = np.zeros((201, 201, 1), np.float32)
    image[100, 100] = 1.0
    step = 0.02
    row = scattered(image, step)[100, 100:, 0]
    far = np.arange(len(row)) * step
    # Further out there is also what comes in from beyond the edges.
    wanted = spread(far[5:25])
    np.testing.assert_allclose(row[5:25] / row[5], wanted / wanted[0], rtol=0.05)


@pytest.mark.parametrize("shape", [(5, 14), (11, 4), (8, 8)], ids=str)
def test_a_picture_goes_on_mirrored_beyond_its_edges(shape):
    """Beside mirror images laid side by side, and light added up pixel by pixel, in one row and in all."""
    image = np.random.default_rng(2).random((*shape, 1)).astype(np.float32)
    step, far = 0.4, 28  # eleven degrees, of which a pixel is two fifths
    high, wide = shape
    down, across = (np.arange(-far, n + far) for n in shape)
    mirrored = image[_mirrored(down, high)][:, _mirrored(across, wide), 0]
    near = np.hypot(*np.mgrid[-far : far + 1, -far : far + 1]) * step
    light = spread(near)
    middle = slice(far - 3, far + 4)
    light[middle, middle] = [
        [_over_a_pixel(row * step, column * step, step) for column in range(-3, 4)] for row in range(-3, 4)
    ]
    light /= light.sum()
    wanted = [
        [(mirrored[y : y + 2 * far + 1, x : x + 2 * far + 1] * light).sum() for x in range(wide)]
        for y in range(high)
    ]
    found = scattered(image, step)[..., 0]
    assert np.abs(found - wanted).max() < 0.01 * np.ptp(image)
    assert found.mean() == pytest.approx(image.mean(), rel=1e-5)


def _mirrored(places, count):
    turned = places % (2 * count)
    return np.where(turned < count, turned, 2 * count - 1 - turned)


def _over_a_pixel(down, across, step):
    at = ((np.arange(64) + 0.5) / 64 - 0.5) * step
    return spread(np.hypot((down + at)[:, None], across + at)).mean()


def test_a_halo_lies_about_a_point_and_not_on_it():
    image = np.zeros((41, 41, 3), np.float32)
    image[20, 20] = 100.0
    halo = halo_of(image, 0.04)
    assert halo[20, 20].max() < 1.0
    assert halo[20, 21, 0] > halo[20, 24, 0] > halo[20, 35, 0] > 0.0
    assert not halo_of(0.0 * image, 0.04).any()


def test_an_eye_blurs_about_an_arc_minute():
    image = np.zeros((1, 401, 1), np.float32)
    image[0, 200] = 1.0
    # A line of light (the picture goes on above and below): half its light within a minute or two.
    line = scattered(np.broadcast_to(image, (401, 401, 1)), 0.1 / 60.0)[200, :, 0]
    inside = np.cumsum(line[200:]) * 2.0 - line[200]
    half = np.searchsorted(inside / line.sum(), 0.5) * 0.1
    assert 0.5 < half < 2.0
