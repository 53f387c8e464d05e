"""Figures as JSON for programs, where an answer is not yet a document."""

from typing import Any

from planner.say.as_json import json_text
from planner.say.asked import asked_data, named
from planner.say.document import Document
from planner.say.figures import bases, reading_data, seen_data
from planner.say.warned import concerns_data

answer, basis, concerns, inputs, seen = reading_data, bases, concerns_data, asked_data, seen_data

__all__ = ["answer", "basis", "concerns", "dumps", "inputs", "named", "seen"]


def dumps(data: dict[str, Any]) -> str:
    """Return JSON of `data`, numbers rounded to what carries meaning."""
    return json_text(Document("", (), data))
