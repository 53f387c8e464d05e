"""Photographs made from measured things: a camera, a lamp, a cloth, and white paper beside it.

Cameras: spectral sensitivities of two cameras measured at the National Physical Laboratory, as carried
by colour-science (BSD-3-Clause). Lamps: CIE ID65 and ID50, ISO 7589 photographic daylight; measured
lamps of NIST and others, as carried there. Cloths: published reflectances of the preferred memory
colour chart (M. R. Luo, 2024), of CIE 13.3:1995 and of the colour quality scale (Y. Ohno, W. Davis,
2008). Each camera's matrix is fitted to a 24-patch chart (N. Ohta, 1997) under standard light, as its
maker would. None of these took part in the planner's figures for cameras.
"""

from functools import cache
from io import BytesIO
from types import SimpleNamespace

import numpy as np
import pytest
from PIL import Image
from reference import colour

from planner.colour.grid import WAVELENGTHS, resample
from planner.colour.observer import illuminant
from planner.colour.screen import linear_to_srgb, xyz_to_linear
from planner.colour.tristimulus import weights, white_d65

DAYLIGHT = ("ID65", "ID50", "ISO 7589 Photographic Daylight")
SIZE = (480, 360)


def lamps():
    """Return an LED on a phosphor, three kinds of tube and a warm LED, by their places in its table."""
    return tuple(sorted(colour.SDS_LIGHT_SOURCES)[at] for at in (46, 16, 9, 22, 34))


def cameras():
    """Return both of its cameras; whose they are says nothing here."""
    return tuple(sorted(colour.MSDS_CAMERA_SENSITIVITIES))


@cache
def cloths():
    """Return 89 published reflectances, shape (89, 81)."""
    tables = list(colour.SDS_COLOURCHECKERS["PMC"].values())
    tables += [
        sample
        for group in (colour.quality.datasets.SDS_TCS, colour.quality.datasets.SDS_VS)
        for kind in group.values()
        for sample in kind.values()
    ]
    return np.array([resample(table.wavelengths, table.values) for table in tables])


@cache
def lamp(name):
    table = colour.SDS_ILLUMINANTS[name] if name in colour.SDS_ILLUMINANTS else colour.SDS_LIGHT_SOURCES[name]
    return np.interp(WAVELENGTHS, table.wavelengths, table.values, left=0.0)


@cache
def camera(name):
    table = colour.MSDS_CAMERA_SENSITIVITIES[name]
    columns = [np.interp(WAVELENGTHS, table.wavelengths, one, left=0.0, right=0.0) for one in table.values.T]
    return np.stack(columns, axis=-1)


@cache
def matrix(name, light):
    """Return balanced camera signals to XYZ under D65, fitted in light "D65" or "A", white kept."""
    chart = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"].values()
    spectra = np.array([resample(table.wavelengths, table.values) for table in chart])
    power = illuminant(light)[:, None] * camera(name)
    signals, wanted = spectra @ power / power.sum(axis=0), spectra @ weights(illuminant("D65"))
    trust = 1 / (wanted[:, 1:2] ** 0.67 + 0.02)
    one = 1e3 * np.ones((1, 3))
    left, right = np.vstack([signals * trust, one]), np.vstack([wanted * trust, one * white_d65()])
    return np.linalg.lstsq(left, right, rcond=None)[0]


def paper(brightened):
    """Return white paper as it sends light back, its brightener lit from 0 (no ultraviolet) to 1.

    Made so that its CIE whiteness is about 85 without and 150 with ultraviolet; office paper is sold at
    140 to 170 (from memory).
    """
    base = 0.87 * (1 - 0.25 / (1 + np.exp((WAVELENGTHS - 405) / 6))) - 0.06 * np.exp((380 - WAVELENGTHS) / 40)
    wide = np.where(WAVELENGTHS < 440, 12, 25)
    return base + 0.38 * brightened * np.exp(-0.5 * ((WAVELENGTHS - 440) / wide) ** 2)


def photograph(
    cloth, random, *, white_at, cloth_at, light="ID65", taken_by=None, reference=None, exposure=0.7,
    contrast=0.15, saturation=1.04, balance=0.05, uneven=0.1, noise=0.01, weave=0.06, background=0.25,
):  # fmt: skip
    """Return an 8-bit picture, shape (360, 480, 3): the reference left, the cloth right, on a brown table."""
    taken_by = taken_by or cameras()[0]
    power = lamp(light)[:, None] * camera(taken_by)
    warm = lamp(light)[WAVELENGTHS > 600].mean() > 1.6 * lamp(light)[WAVELENGTHS < 500].mean()
    to_xyz = matrix(taken_by, "A" if warm else "D65")
    brown = background * (0.4 + 0.9 / (1 + np.exp((580 - WAVELENGTHS) / 30)))
    reference = paper(1.0 if light in DAYLIGHT else 0.2) if reference is None else reference
    surfaces = np.array([brown, reference, cloth])
    # A wrong balance is put on the finished colours: the overlapping sensors of one camera would make
    # the same error of its signals absurdly large.
    linear = xyz_to_linear(surfaces @ power / power.sum(axis=0) @ to_xyz)
    linear *= np.exp(random.normal(0, balance, 3))
    linear *= exposure / linear[1].max()
    grey = linear @ [[0.2126], [0.7152], [0.0722]]
    linear = grey + saturation * (linear - grey)
    which = np.zeros((SIZE[1], SIZE[0]), dtype=int)
    for number, (x, y, wide, high) in ((1, white_at), (2, cloth_at)):
        which[y : y + high, x : x + wide] = number
    scene = linear[which]
    scene *= np.where(which == 2, 1 + weave * random.standard_normal(which.shape), 1.0)[..., None]
    y, x = np.mgrid[-0.5 : 0.5 : SIZE[1] * 1j, -0.5 : 0.5 : SIZE[0] * 1j]
    turn = random.uniform(0, 2 * np.pi)
    scene *= np.exp(uneven * (np.cos(turn) * x + np.sin(turn) * y))[..., None]
    scene += noise * np.sqrt(np.maximum(scene, 0) + 0.01) * random.standard_normal(scene.shape)
    encoded = linear_to_srgb(scene)
    encoded = encoded + 2 * contrast * encoded * (1 - encoded) * (encoded - 0.5)
    return np.rint(255 * encoded).astype(np.uint8)


def jpeg(picture, **options):
    """Return a picture's bytes as JPEG."""
    target = BytesIO()
    Image.fromarray(picture).save(target, "JPEG", quality=92, **options)
    return target.getvalue()


@pytest.fixture(scope="session")
def studio():
    """Return what takes photographs."""
    return SimpleNamespace(
        DAYLIGHT=DAYLIGHT, LAMPS=lamps(), CAMERAS=cameras(), cloths=cloths, paper=paper,
        photograph=photograph, jpeg=jpeg,
    )  # fmt: skip
