"""The library of colour science that many tests compare with, imported where it is first asked for something.

That takes seconds, and every worker reads every file of tests.
"""

from importlib import import_module


class _Late:
    def __getattr__(self, name):
        if name.startswith("_") or "test" in name:  # pytest and hypothesis look whether it is a test
            raise AttributeError(name)
        return getattr(import_module("colour"), name)


colour = _Late()
