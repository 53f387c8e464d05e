"""Two drawings of one reading: the way of its hue, and what it does over wavelength.

`plane` draws the a*b* plane with bare stone, result, swatch and batches, and the lightness beside it;
`curves` the spectra; `content` the legends; `screen` joins them.
"""

from planner.app.plots.screen import PlotScreen

__all__ = ["PlotScreen"]
