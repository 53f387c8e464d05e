"""The legends of both drawings, in words; figures where they are asked for."""

from collections.abc import Sequence
from math import isnan
from typing import Final

from rich.table import Table
from rich.text import Text

from planner.app.depth import Depth
from planner.app.parts.patch import patch
from planner.app.plots.curves import Line
from planner.app.plots.plane import lightness_of
from planner.colour.grid import WAVELENGTHS
from planner.reading.phrase import listed, percent, signed, than
from planner.reading.read import Reading
from planner.reading.spectrum import Spectra

_STROKES: Final = {"C": "⣀⣀⣀", "S": "⣀⡀⣀", "U": "⡀⢀⡀", "L": "⠄⠠⠠"}
"""How each curve is drawn."""

_MEANS: Final = {
    "glow": "of what white cloth returns",
    "uncoated": "of what white cloth returns",
    "swatch": "of what white cloth returns",
    "light": "of where it is strongest",
}
"""What each figure is a share of."""

_HUES: Final = (
    (430, "violet light"), (490, "blue light"), (560, "green light"), (590, "yellow light"),
    (625, "orange light"), (781, "red light"),
)  # fmt: skip
"""Wavelengths, nm, up to which light has each hue (common practice, no source)."""


def plane_legend(reading: Reading, depth: Depth, *, figures: bool) -> Table:
    """Return what the letters, lines and dots of the plane mean."""
    coated = reading.question.coating is not None
    shift = than(reading.shift.words, "bare") if coated else "the bare stone itself"
    table = _table()
    for letter, seen, what, more in (
        ("U", reading.uncoated, "bare stone", ""),
        ("C", reading.seen, "result", f", {shift}"),
        ("S", reading.swatch, "swatch", f"; the result is {than(reading.drift.words, 'it')}"),
    ):
        lightness, a, b = seen.lab
        tail = f"  L* {lightness:.0f}  a* {signed(a)}  b* {signed(b)}" if figures else more
        table.add_row(
            Text.assemble((f"{letter} ", "bold"), patch(seen.hex, depth)),
            Text.assemble(f"{what}: ", (seen.name, "bold"), tail),
        )
    low, half, high = reading.lots.dE00
    holding = f"{round(10 * reading.lots.within_tolerance)} of 10"
    spread = f"ΔE00 {low:.0f} to {high:.0f} off, half below {half:.0f}" if figures else _agreement(reading)
    table.add_row(" ⠢⠔ ", Text(f"one batch each: {holding} hold the swatch; {spread}"))
    table.add_row("⠶⠶⠶⠶", "what the coating does; broken, what the swatch still asks for")
    if depth in ("true", "256"):
        note = f"The plane shows hues at L* {lightness_of(reading):.0f}; dim ones are beyond any screen."
        table.add_row("", Text(note, "dim"))
    return table


def _agreement(reading: Reading) -> str:
    towards = reading.lots.towards
    return f"most come out {listed(towards.split(', '))}" if towards else "they come out on all sides of it"


def _table() -> Table:
    """Return an empty legend: signs to the left, words to the right."""
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(width=4, no_wrap=True)
    table.add_column(ratio=1)
    return table


def curves_legend(reading: Reading, spectra: Spectra | None, at: float, lines: Sequence[Line]) -> Table:
    """Return what the curves are, with their figures at one wavelength."""
    table = _table()
    if spectra is None:
        table.add_row("", "Working out the spectra …")
        return table
    number = int((at - WAVELENGTHS[0]) / 5.0)
    hue = next(name for below, name in _HUES if at < below)
    table.add_row("", Text(f"At {at:.0f} nm, {hue}:", "bold"))
    for line in reversed(lines):
        value = getattr(spectra, line.field)[number]
        share = "no light here to tell by" if isnan(value) else f"{percent(value)} {_MEANS[line.field]}"
        table.add_row(Text(f"{line.letter}{_STROKES[line.letter]}", "bold"), Text(f"{line.what}: {share}"))
    if reading.question.swatch.recovered:
        table.add_row(
            "", Text("The swatch was not measured: its curve is the smoothest with its colour.", "dim")
        )
    return table
