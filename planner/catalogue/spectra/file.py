"""A file of an instrument, CSV or CGATS, as readings; and their spectra in order and as fractions."""

from pathlib import Path
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.files import read_text
from planner.catalogue.spectra.cgats import is_cgats, parse_cgats
from planner.catalogue.spectra.readings import Readings
from planner.catalogue.spectra.table import parse_table
from planner.refusal import InvalidValue, Refusal

Unit = Literal["auto", "fraction", "percent"]

MOST_STEP: Final = 20.0
"""nm; the coarsest steps that instruments print."""

REACH: Final = (420.0, 680.0)
"""nm that a spectrum must cover; what is missing beyond is held, and adds to the uncertainty."""

MOST_READINGS: Final = 2000
"""Most readings of one file: a chart of 1,617 patches fits."""

LOWEST: Final = -0.01
"""A dark sample may read a little below an instrument's zero."""

# Values up to here, of all readings, may be fractions; a neon cloth's peak reaches about 2.
_HIGHEST_FRACTION: Final = 3.0
# Readings of one thing lie about their mean within this, as fractions (our choice).
_ALIKE: Final = 0.06
# From one wavelength to the next no cloth changes twentyfold; a change of unit does.
_JUMP: Final = 20.0


def read_readings(path: Path, sample: str | None = None) -> Readings:
    """Return what a measurement file holds, all of it or one sample.

    Raises
    ------
    Refusal
        If it cannot be read, or has no such sample: one sentence.
    """
    text = read_text(path).text
    readings = parse_cgats(path, text) if is_cgats(text) else parse_table(path, text)
    if len(readings.values) > MOST_READINGS:
        raise Refusal(
            f"{path}: found {len(readings.values)} readings; a file may have at most {MOST_READINGS}"
        )
    return _chosen(path, readings, sample)


def read_spectrum(path: Path) -> tuple[tuple[float, float], ...]:
    """Return the mean of a file's spectra as rows of (nm, fraction), wavelengths rising.

    Raises
    ------
    Refusal
        If the file holds no spectrum, or one with a repeat, a gap or mixed units: one sentence.
    """
    readings = read_readings(path)
    if readings.wavelengths is None:
        raise Refusal(f"{path}: found colours and no spectrum; give the colour as lab = [L, a, b]")
    try:
        nm, values = in_order(readings)
        each = fractions(values, readings, "auto")
    except InvalidValue as problem:
        raise Refusal(f"{path}: {problem}") from None
    mean = each.mean(axis=0)
    if np.abs(each - mean).max() > _ALIKE:
        raise Refusal(
            f"{path}: found {len(each)} readings that differ by up to {np.abs(each - mean).max():.2f} from "
            "their mean; a palette takes a file of one cloth or glass"
        )
    if mean.min() < LOWEST:
        raise Refusal(f"{path}: found {mean.min():g}; what is sent back or let through is not below 0")
    return tuple(
        (float(at), float(value)) for at, value in zip(nm, np.maximum(mean, 0.0).round(6), strict=True)
    )


def _chosen(path: Path, readings: Readings, sample: str | None) -> Readings:
    if sample is None:
        return readings
    keep = [at for at, name in enumerate(readings.names) if name == sample]
    if not keep:
        listed = ", ".join(dict.fromkeys(readings.names[:12]))
        raise Refusal(f"{path}: found no sample '{sample}'; there are {listed}")
    return Readings(
        (sample,) * len(keep), readings.values[keep], readings.wavelengths, readings.kind, readings.percent,
        readings.illuminant, readings.degrees,
    )  # fmt: skip


def in_order(readings: Readings) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return wavelengths rising and the spectra with them; refuse repeats, gaps and short ranges."""
    found = readings.wavelengths
    if found is None or len(found) < 2:
        raise InvalidValue("found fewer than two wavelengths")
    order = np.argsort(found, kind="stable")
    nm = found[order]
    steps = np.diff(nm)
    if (steps == 0).any():
        raise InvalidValue(f"found {nm[:-1][steps == 0][0]:g} nm twice; each wavelength may stand once")
    if nm[0] > REACH[0] or nm[-1] < REACH[1]:
        raise InvalidValue(
            f"found {nm[0]:g} to {nm[-1]:g} nm; a spectrum must reach at least from {REACH[0]:g} to "
            f"{REACH[1]:g} nm"
        )
    within = (nm[1:] > REACH[0]) & (nm[:-1] < REACH[1]) & (steps > MOST_STEP + 0.5)
    if within.any():
        at = int(np.argmax(within))
        raise InvalidValue(
            f"found nothing between {nm[at]:g} and {nm[at + 1]:g} nm; steps of up to {MOST_STEP:g} nm can be "
            "bridged"
        )
    return nm, readings.values[:, order]


def fractions(values: NDArray[np.float64], readings: Readings, unit: Unit) -> NDArray[np.float64]:
    """Return reflectances as fractions, by what is said of them or by their size."""
    peaks = values.max(axis=1)
    ratio = np.abs(values[:, 1:]) / np.maximum(np.abs(values[:, :-1]), 0.02)
    jumps = (ratio > _JUMP) & (np.abs(values[:, 1:]) > _HIGHEST_FRACTION)
    if jumps.any() or (peaks.max() > _HIGHEST_FRACTION and peaks.min() <= 1.0 and len(peaks) > 1):
        raise InvalidValue(
            f"found values from {values.min():g} to {values.max():g}, partly fractions and partly per cent "
            "as it seems; give all in one unit"
        )
    percent = unit == "percent"
    if unit == "auto":
        percent = bool(peaks.max() > _HIGHEST_FRACTION) if readings.percent is None else readings.percent
    if not percent and peaks.max() > _HIGHEST_FRACTION:
        raise InvalidValue(f"found {peaks.max():g}, too much for a fraction; per cent must be said to be so")
    return values / 100.0 if percent else values
