"""One pairing in several venues side by side, which venues those are, and a venue made from words.

`judged` words what a pairing does there, `worker` reads it in a thread, `card` shows one venue; `choosing`
says which venues are shown, `understood` and `making` make one from words; `screen` joins them.
"""

from planner.app.venues.screen import VenuesScreen

__all__ = ["VenuesScreen"]
