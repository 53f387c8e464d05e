"""Libraries that only tests use, imported where they are first asked for something.

That takes up to seconds, and every worker reads every file of tests.
"""

from importlib import import_module


class _Late:
    def __init__(self, name):
        self._name = name

    def __getattr__(self, name):
        if name.startswith("_") or "test" in name:  # pytest and hypothesis look whether it is a test
            raise AttributeError(name)
        return getattr(import_module(self._name), name)


colour, integrate = _Late("colour"), _Late("scipy.integrate")
colormath, colormath_objects = _Late("colormath.color_conversions"), _Late("colormath.color_objects")
matplotlib_colors = _Late("matplotlib.colors")
openpyxl, aiohttp = _Late("openpyxl"), _Late("aiohttp")
