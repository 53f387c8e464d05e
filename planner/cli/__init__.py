"""The planner without a screen: the same answers as plain text for people or JSON for programs.

`commands` says what can be typed, `guard` how every command ends, `ask` turns what was typed into
questions; the other modules each give one answer. Nothing heavier than click is imported before a
command runs, so that help comes at once.
"""

from planner.cli.commands import main

__all__ = ["main"]
