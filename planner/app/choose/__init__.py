"""Choosing a swatch: out of the palette, by digits, by words and by eye, or from a photograph.

Each way is a panel (`by_palette`, `by_digits`, `by_eye`, `by_photo`) that offers a colour or says why it
has none; `screen` shows the offer on a large patch and takes it. `steps` knows which colours can be had
and how to move among them.
"""

from planner.app.choose.screen import SwatchScreen

__all__ = ["SwatchScreen"]
