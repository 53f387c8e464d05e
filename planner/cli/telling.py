"""Parts of an answer as text, where it is not yet a document."""

from collections.abc import Iterable, Sequence

from planner.cli import text
from planner.job.model import Acceptance
from planner.reading.concern import Concern
from planner.say.as_text import text as as_text
from planner.say.document import Document, Section
from planner.say.reading import invented as invented_part
from planner.say.warned import concern_parts


def concerns(found: Sequence[tuple[Concern, Acceptance | None]], *, codes: bool = False) -> str:
    """Return every warning with what to do about it, and who accepted it."""
    parts = concern_parts(found, codes=codes, nothing="None.")
    return as_text(Document("", (Section("", parts),)), text.page())


def invented(bases: Iterable[str | None]) -> str:
    """Return what must be said wherever something invented takes part; nothing elsewhere."""
    said = invented_part(bases)
    return "" if said is None else text.wrap(said.text)


def block(title: str, body: str) -> str:
    """Return a part under its heading."""
    return f"{text.heading(title)}\n{body}"


def notes(found: Iterable[str]) -> str:
    """Return notes, wrapped."""
    return "\n".join(text.wrap(f"Note: {one}") for one in found)
