"""The kinds of picture by name, for those who have them drawn elsewhere."""

from typing import Literal

Kind = Literal["seats", "hand", "stone"]
"""As an eye has it from the viewing distance; some stones near by; one stone, large."""

FINER = 4
"""Samples to a pixel, each way."""
