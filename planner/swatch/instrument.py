"""A swatch that an instrument measured: from its file to a spectrum, or a colour, and how sure that is."""

from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.spectra.file import LOWEST, Unit, fractions, in_order, read_readings
from planner.catalogue.spectra.readings import Readings
from planner.colour.cielab import xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.refusal import InvalidValue, Refusal
from planner.swatch.resolve import MEASURED_UNCERTAINTY, from_lab, from_reflectance
from planner.swatch.spread import covariance_of
from planner.swatch.taken import Taken, taken
from planner.swatch.typed import from_numbers

WEAVE: Final = 0.87
"""ΔE00 by which one reading of woven cloth differs from the next (our choice: with the instrument's 0.5
it makes 1, which is common practice for one reading)."""

ONE_CLOTH: Final = 5.0
"""ΔE00 from their mean within which readings pass for readings of one cloth (our choice)."""

# A matt white reads a little over 1 on some instruments.
_FULL: Final = 1.02
_BRIGHTENED: Final = (400.0, 490.0)
_HIGHEST_BRIGHTENED: Final = 1.5
_BRIGHTENER: Final = "It sends back up to {:.0f} % in the blue: a brightener, at work only under ultraviolet."
_NEON: Final = "It fluoresces: the spectrum holds in the instrument's own light, taken to be near daylight."


def read_measured(
    path: Path, *, sample: str | None = None, unit: Unit = "auto", fluorescent: bool = False
) -> Taken:
    """Return the swatch that a measurement file holds, CSV or CGATS; several readings are averaged.

    Parameters
    ----------
    path : Path
    sample : str, optional
        Name of the sample to take, where a file holds several cloths.
    unit : str
        Whether reflectances are "fraction" or "percent"; "auto" goes by their size.
    fluorescent : bool
        Whether the cloth is neon.

    Raises
    ------
    Refusal
        If the file cannot be used: one sentence.
    """
    readings = read_readings(path, sample)
    try:
        if readings.wavelengths is None:
            return _from_colours(readings, fluorescent=fluorescent)
        return _from_spectra(readings, unit, fluorescent=fluorescent)
    except InvalidValue as problem:
        raise Refusal(f"{path}: {problem}") from None


def _from_spectra(readings: Readings, unit: Unit, *, fluorescent: bool) -> Taken:
    nm, values = in_order(readings)
    values = fractions(values, readings, unit)
    notes = _physical(nm, values, fluorescent=fluorescent)
    on_grid = np.array([_resampled(nm, one) for one in values])
    mean = on_grid.mean(axis=0)
    colour = from_reflectance(WAVELENGTHS, mean, fluorescent=fluorescent)
    labs = xyz_to_lab(on_grid @ weights(illuminant("D65")))
    covariance = _covariance(colour.lab, labs, readings.names)
    if nm[0] > 400.0 or nm[-1] < 700.0:
        missing = _beyond(nm, mean)
        covariance = covariance + covariance_of(colour.lab, missing)
        held = (
            f"It was measured from {nm[0]:g} to {nm[-1]:g} nm; beyond that it is taken as level, which may "
            f"cost {missing:.1f} ΔE00."
        )
        notes = (*notes, held)
    step = np.median(np.diff(nm))
    return taken(colour, f"measured every {step:g} nm{_times(len(values))}", covariance, notes)


def _physical(nm: NDArray[np.float64], values: NDArray[np.float64], *, fluorescent: bool) -> tuple[str, ...]:
    """Refuse what no surface does, and say what a brightener does."""
    if values.min() < LOWEST:
        at = nm[int(np.argmin(values.min(axis=0)))]
        raise InvalidValue(f"found {values.min():g} at {at:g} nm; a reflectance cannot be below 0")
    np.maximum(values, 0.0, out=values)
    over = values.max(axis=0) > _FULL
    if not over.any():
        return ()
    highest = float(values.max())
    blue = (nm >= _BRIGHTENED[0]) & (nm <= _BRIGHTENED[1])
    if not (over & ~blue).any() and highest <= _HIGHEST_BRIGHTENED and not fluorescent:
        return (_BRIGHTENER.format(100 * highest),)
    if fluorescent:
        return (
            "It fluoresces: the spectrum holds in the instrument's own light, taken to be near daylight.",
        )
    at = nm[int(np.argmax(values.max(axis=0)))]
    raise InvalidValue(
        f"found {highest:g} at {at:g} nm, more than any surface reflects; call the cloth fluorescent, or, if "
        "the table is in per cent, say so"
    )


def _resampled(nm: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a spectrum on the planner's grid: averaged from fine steps, by a smooth curve from coarse."""
    from planner.colour.grid import resample

    low, high = min(400.0, nm[0]), max(700.0, nm[-1])
    held_nm = np.concatenate([[low] if low < nm[0] else [], nm, [high] if high > nm[-1] else []])
    held = np.interp(held_nm, nm, values)
    if np.median(np.diff(nm)) < 10.0:
        return resample(held_nm, held)
    from scipy.interpolate import PchipInterpolator

    inside = np.clip(WAVELENGTHS, held_nm[0], held_nm[-1])
    return np.maximum(np.asarray(PchipInterpolator(held_nm, held)(inside)), 0.0)


def _beyond(nm: NDArray[np.float64], mean: NDArray[np.float64]) -> float:
    """Return what a range that ends early may cost: half of ΔE00 between the ends held and carried on."""
    carried = mean.copy()
    for outside, at, step in ((nm[0] > WAVELENGTHS, nm[0], 20.0), (nm[-1] < WAVELENGTHS, nm[-1], -20.0)):
        inwards = at + step
        slope = (np.interp(at, WAVELENGTHS, mean) - np.interp(inwards, WAVELENGTHS, mean)) / (at - inwards)
        run = np.clip(WAVELENGTHS[outside] - at, -30.0, 30.0)
        carried[outside] = np.clip(mean[outside] + slope * run, 0.0, 1.0)
    light = weights(illuminant("D65"))
    return float(delta_e(xyz_to_lab(mean @ light), xyz_to_lab(carried @ light))) / 2


def _from_colours(readings: Readings, *, fluorescent: bool) -> Taken:
    light, degrees = readings.illuminant, readings.degrees
    each = [
        from_numbers(
            readings.kind, one, illuminant_name=light, degrees=degrees, uncertainty=MEASURED_UNCERTAINTY,
            fluorescent=fluorescent,
        )
        for one in readings.values
    ]  # fmt: skip
    labs = np.array([one.colour.lab for one in each])
    lab = labs.mean(axis=0)
    uncertainty = float(np.mean([one.colour.uncertainty for one in each]))
    covariance = _covariance(lab, labs, readings.names, uncertainty)
    colour = from_lab(lab, uncertainty=uncertainty, basis="measured", fluorescent=fluorescent)
    named = {"lab": "CIELAB", "xyz": "XYZ"}[readings.kind]
    return taken(colour, f"measured as {named} ({light}, {degrees}°){_times(len(labs))}", covariance)


def _times(count: int) -> str:
    return "" if count == 1 else f", mean of {count} readings"


def _covariance(
    lab: NDArray[np.float64], labs: NDArray[np.float64], names: tuple[str, ...],
    uncertainty: float = MEASURED_UNCERTAINTY,
) -> NDArray[np.float64]:  # fmt: skip
    """Return the covariance of the mean: the instrument's, and the scatter of the cloth's readings."""
    apart = float(delta_e(labs, lab).max())
    if apart > ONE_CLOTH:
        listed = ", ".join(dict.fromkeys(names[:8]))
        raise InvalidValue(
            f"found {len(labs)} readings up to ΔE00 {apart:.0f} from their mean, too far for one cloth; name "
            f"one sample of {listed}"
        )
    # Two readings say too little of a scatter; cloth's usual one is taken.
    scatter = np.cov(labs, rowvar=False) if len(labs) > 2 else covariance_of(lab, WEAVE)
    return np.asarray(covariance_of(lab, uncertainty) + scatter / len(labs))
