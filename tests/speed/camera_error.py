"""Where the figures for cameras in ``shared/photo_errors.toml`` come from; prints them, gates nothing.

Invented cameras with Gaussian sensitivities, each with the matrix its maker would fit, take the 99
samples of CIE 224:2017 beside white paper. Tone, saturation and white balance vary as our own choice
says. Printed: standard deviations of L* by lightness, and of C* and hue distance by chroma, of what is
read by the paper against the truth, with everything in it. The shares of paper and brightener, which the
planner reckons by themselves, were taken out of chroma and hue before the straight lines were drawn.
Run: ``python tests/speed/camera_error.py``.
"""

import colour
import numpy as np
from colour.quality.cfi2017 import load_TCS_CIE2017

from planner.colour.adaptation import adaptation_matrix
from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.colour.observer import illuminant
from planner.colour.screen import linear_to_srgb, srgb_to_lab, xyz_to_linear
from planner.colour.tristimulus import weights, white_d65

LIGHTS = {"daylight": ("D50", "D65", "D75"), "lamps": ("LED-B3", "LED-B4", "LED-B5", "A", "LED-B2", "FL10")}
WARM = ("A", "LED-B2")
PAPER = np.array([94.8, 2.3, -5.1])
CAMERAS = 60


def bell(middle, wide):
    """Return a Gaussian over the wavelengths."""
    return np.exp(-0.5 * ((WAVELENGTHS - middle) / wide) ** 2)


def invented_camera(random):
    """Return sensitivities, shape (81, 3)."""
    red = bell(random.normal(600, 8), random.uniform(28, 42)) + random.uniform(0, 0.08) * bell(450, 20)
    green = bell(random.normal(535, 8), random.uniform(32, 45))
    blue = bell(random.normal(458, 6), random.uniform(22, 35))
    return np.stack([red, green, blue], axis=-1)


def paper(brightened):
    """Return white paper whose brightener is lit from 0 to 1."""
    base = 0.87 * (1 - 0.25 / (1 + np.exp((WAVELENGTHS - 405) / 6))) - 0.06 * np.exp((380 - WAVELENGTHS) / 40)
    return base + 0.28 * brightened * np.exp(
        -0.5 * ((WAVELENGTHS - 440) / np.where(WAVELENGTHS < 440, 12, 25)) ** 2
    )


def fitted(signals, wanted):
    """Return the matrix of signals to XYZ that keeps white."""
    trust = 1 / (wanted[:, 1:2] ** 0.67 + 0.02)
    one = 1e3 * np.ones((1, 3))
    left, right = np.vstack([signals * trust, one]), np.vstack([wanted * trust, one * white_d65()])
    return np.linalg.lstsq(left, right, rcond=None)[0]


def misses(samples, names, random):
    """Return true CIELAB and what is read less that, shape (n, 3) each, for one invented camera."""
    name = names[random.integers(len(names))]
    sensitivities = invented_camera(random)
    home = illuminant("A" if name in WARM else "D65")[:, None] * sensitivities
    truth = samples @ weights(illuminant("D65"))
    to_xyz = fitted(samples @ home / home.sum(axis=0), truth)
    power = illuminant(name)[:, None] * sensitivities
    surfaces = np.vstack([samples, paper(random.uniform())])
    linear = xyz_to_linear(surfaces @ power / power.sum(axis=0) * np.exp(random.normal(0, 0.06, 3)) @ to_xyz)
    linear *= random.uniform(0.6, 0.85) / linear[-1].max()
    grey = linear @ [[0.2126], [0.7152], [0.0722]]
    encoded = linear_to_srgb(grey + random.normal(1.04, 0.07) * (linear - grey))
    encoded += 2 * random.uniform(-0.1, 0.4) * encoded * (1 - encoded) * (encoded - 0.5)
    rgb = np.rint(255 * encoded).astype(np.uint8)
    xyz = lab_to_xyz(srgb_to_lab(rgb))
    seen = xyz_to_lab(xyz[:-1] @ adaptation_matrix(xyz[-1], lab_to_xyz(PAPER)))
    held = (rgb[:-1] > 2).all(axis=-1)
    return xyz_to_lab(truth)[held], (seen - xyz_to_lab(truth))[held]


def main():
    """Print the table."""
    samples = load_TCS_CIE2017(colour.SpectralShape(380, 780, 5)).values.T
    for light, names in LIGHTS.items():
        random = np.random.default_rng(1)
        shots = [misses(samples, names, random) for _ in range(CAMERAS)]
        truth, off = np.vstack([one[0] for one in shots]), np.vstack([one[1] for one in shots])
        apart = delta_e(truth, truth + off)
        print(f"{light}: ΔE00 mean {apart.mean():.2f}, rms {np.sqrt((apart**2).mean()):.2f}")
        chroma = np.hypot(truth[:, 1], truth[:, 2])
        along = (off[:, 1:] * truth[:, 1:]).sum(axis=1) / chroma
        across = (off[:, 2] * truth[:, 1] - off[:, 1] * truth[:, 2]) / chroma
        for low, high in ((25, 40), (40, 55), (55, 70), (70, 90)):
            some = (truth[:, 0] >= low) & (truth[:, 0] < high)
            print(f"  L* {low} to {high}: sd of L* {np.sqrt((off[some, 0] ** 2).mean()):.2f}")
        for low, high in ((0, 10), (10, 25), (25, 40), (40, 60), (60, 100)):
            some = (chroma >= low) & (chroma < high)
            wide, turned = (np.sqrt((one[some] ** 2).mean()) for one in (along, across))
            print(f"  C* {low} to {high}: sd of C* {wide:.2f}, of hue distance {turned:.2f}")


if __name__ == "__main__":
    main()
