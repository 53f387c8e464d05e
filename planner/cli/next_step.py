"""The command to type next, ready to be copied."""

from collections.abc import Mapping

from planner.cli import text
from planner.say.as_text import command as told
from planner.say.document import Command


def command(verb: str, options: Mapping[str, object]) -> str:
    """Return a command with its options, continued over lines as a shell reads them."""
    return told(Command(verb, options), text.page())
