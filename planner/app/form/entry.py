"""One line of a form: what it asks for, and what may stand in it."""

from collections.abc import Callable
from dataclasses import dataclass

from planner.refusal import Refusal


@dataclass(frozen=True)
class Entry:
    """A line to fill in."""

    name: str
    """What the answer is called; each name once in a form."""

    label: str

    help: str
    """What belongs there, one sentence."""

    text: str
    """What stands there at first."""

    check: Callable[[str], str]
    """How a text is understood, where that is not plain; raises ValueError with a sentence."""

    among: tuple[str, ...] = ()
    """Words that complete what is begun."""

    def fault(self, text: str) -> tuple[str, bool]:
        """Return what is to be said of a text, and whether it is a refusal."""
        try:
            return self.check(text.strip()), False
        except Refusal as problem:
            said = str(problem).removeprefix('found ""; ')
            return f"{said[:1].upper()}{said[1:]}{'' if said.endswith(('.', '?')) else '.'}", True
