"""What guessing a spectrum costs under other lamps, by method; prints a table, gates nothing.

212 published reflectances (tests/swatch/test_recover.py names them) are recovered from their colour under
D65 by the planner and by five published methods as colour-science carries them: H. Otsu et al. (2018),
W. Jakob and J. Hanika (2019), J. Meng et al. (2015), B. Smits (1999), I. Mallett and C. Yuksel (2019).
Each is then predicted under other lamps. ΔE00: mean and 95th percentile; how well the colour itself is
kept; whether the spectrum is physical; milliseconds a colour.
Meng's takes several seconds a colour, so it comes last: twenty minutes for all spectra, or name fewer.
Run: ``python tests/speed/recover_methods.py [how many spectra]``.
"""

import sys
import time
import warnings

import colour
import numpy as np
from colour.quality.cfi2017 import load_TCS_CIE2017
from colour.quality.datasets import SDS_TCS, SDS_VS

from planner.colour.cielab import appearance, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS, resample
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.swatch.recover import reflectance_from_xyz

LAMPS = ("A", "FL2", "FL11", "LED-B1", "LED-RGB1")
DAYLIGHT = weights(illuminant("D65"))


def spectra():
    """Return 212 published reflectances, shape (212, 81)."""
    charts = colour.SDS_COLOURCHECKERS
    tables = [*charts["ISO 17321-1"].values(), *charts["PMC"].values()]
    tables += [sample for group in (SDS_TCS, SDS_VS) for kind in group.values() for sample in kind.values()]
    found = [resample(table.wavelengths, table.values) for table in tables]
    return np.array([*found, *load_TCS_CIE2017(colour.SpectralShape(380, 780, 5)).values.T])


def on_grid(table):
    """Return colour-science's spectrum on the planner's grid, its ends held."""
    return np.interp(WAVELENGTHS, table.wavelengths, table.values)


def linear_srgb(xyz):
    """Return linear sRGB."""
    return colour.XYZ_to_RGB(xyz, "sRGB", apply_cctf_encoding=False)


METHODS = {
    "planner (Burns 2020)": lambda xyz: reflectance_from_xyz(xyz, DAYLIGHT),
    "Otsu 2018": lambda xyz: on_grid(colour.recovery.XYZ_to_sd_Otsu2018(xyz)),
    "Jakob & Hanika 2019": lambda xyz: on_grid(colour.recovery.XYZ_to_sd_Jakob2019(xyz)),
    "Mallett & Yuksel 2019": lambda xyz: on_grid(colour.recovery.RGB_to_sd_Mallett2019(linear_srgb(xyz))),
    "Smits 1999": lambda xyz: on_grid(colour.recovery.RGB_to_sd_Smits1999(linear_srgb(xyz))),
    "Meng 2015": lambda xyz: on_grid(colour.recovery.XYZ_to_sd_Meng2015(xyz)),
}


def main():
    """Print the table."""
    warnings.simplefilter("ignore")
    true = spectra()
    if len(sys.argv) > 1:
        true = true[:: max(1, len(true) // int(sys.argv[1]))]
    print(f"{len(true)} spectra; ΔE00 mean / 95th percentile under each lamp")
    for name, method in METHODS.items():
        method(true[0] @ DAYLIGHT)
        start = time.perf_counter()
        found = np.array([method(xyz) for xyz in true @ DAYLIGHT])
        each = 1e3 * (time.perf_counter() - start) / len(true)
        kept = delta_e(xyz_to_lab(found @ DAYLIGHT), xyz_to_lab(true @ DAYLIGHT)).max()
        said = [f"{name:22}"]
        for lamp in LAMPS:
            light = weights(illuminant(lamp))
            white = light.sum(axis=0)
            missed = delta_e(appearance(true @ light, white), appearance(found @ light, white))
            said.append(f"{lamp} {missed.mean():.2f} / {np.percentile(missed, 95):.2f}")
        physical = "physical" if found.min() >= 0 and found.max() <= 1 else "leaves 0 to 1"
        print(" | ".join([*said, f"colour kept to {kept:.3f}, {physical}", f"{each:.1f} ms"]), flush=True)


if __name__ == "__main__":
    main()
