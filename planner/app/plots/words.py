"""The legends of both drawings, in words; figures where they are asked for."""

from collections.abc import Sequence
from math import isnan
from typing import Final

from rich.text import Text

from planner.app.depth import Depth
from planner.app.parts.patch import patch
from planner.app.plots.curves import Line
from planner.app.plots.plane import BATCHES, lightness_of
from planner.colour.grid import WAVELENGTHS
from planner.reading.phrase import listed, percent, signed, tenths, than
from planner.reading.read import Reading, Seen
from planner.reading.spectrum import Spectra

_STROKES: Final = {"C": "⣀⣀⣀", "S": "⣀⡀⣀", "U": "⡀⢀⡀", "L": "⠄⠠⠠"}
"""How each curve is drawn."""

_HUES: Final = (
    (430, "violet light"), (490, "blue light"), (560, "green light"), (590, "yellow light"),
    (625, "orange light"), (781, "red light"),
)  # fmt: skip
"""Wavelengths, nm, up to which light has each hue (common practice, no source)."""



def plane_legend(reading: Reading, depth: Depth, *, figures: bool) -> Text:
    """Return what the letters, lines and dots of the plane mean."""
    coated = reading.question.coating is not None
    shift = f"{than(reading.shift.words, 'the bare stone')}" if coated else "the bare stone itself"
    lines = [
        _entry("U", reading.uncoated, "bare stone", "", figures),
        _entry("C", reading.glow, "result", f", {shift}", figures),
        _entry("S", reading.swatch, "swatch", f"; the result is {than(reading.drift.words, 'it')}", figures),
        Text(f"dots  {min(BATCHES, len(reading.lab_lots))} batches: {_batches(reading)}"),
        Text("line  what the coating does, U to C; dashes, how far off, C to S"),
    ]
    if depth in ("true", "256"):
        lines.append(Text(f"colours of the plane are those of L* {lightness_of(reading):.0f}", "dim"))
    return Text("\n").join(lines)


def _entry(letter: str, seen: Seen, what: str, more: str, figures: bool) -> Text:  # noqa: FBT001 - private
    lightness, a, b = seen.lab
    tail = f"  L* {lightness:.0f}  a* {signed(a)}  b* {signed(b)}" if figures else more
    return Text.assemble((f"{letter} ", "bold"), patch(seen.hex), f"  {what}: ", (seen.name, "bold"), tail)


def _batches(reading: Reading) -> str:
    lots = reading.lots
    low, _, high = lots.dE00
    towards = f"most come out {listed(lots.towards.split(', '))}" if lots.towards else "they come out all ways"
    return f"{towards}; eight in ten lie ΔE00 {low:.0f} to {high:.0f} off, {tenths(lots.within_tolerance)} hold"


def curves_legend(reading: Reading, spectra: Spectra | None, at: float, lines: Sequence[Line]) -> Text:
    """Return what the curves are, with their figures at one wavelength."""
    if spectra is None:
        return Text("Working out the spectra …")
    number = int((at - WAVELENGTHS[0]) / 5.0)
    hue = next(name for below, name in _HUES if at < below)
    said = [Text.assemble((f"At {at:.0f} nm, {hue}", "bold"), ":")]
    means = {
        "glow": "of what white cloth returns here",
        "uncoated": "likewise, without the coating",
        "swatch": "of the light, whatever it is",
        "light": "of its strongest",
    }
    for line in reversed(lines):
        value = getattr(spectra, line.field)[number]
        share = "no light to tell" if isnan(value) else f"{percent(value)} {means[line.field]}"
        said.append(Text.assemble((f"{line.letter} {_STROKES[line.letter]} ", "bold"), f"{line.what}: {share}"))
    if reading.question.swatch.recovered:
        said.append(Text("The swatch's curve is the smoothest with its colour: nobody measured it.", "dim"))
    return Text("\n").join(said)
