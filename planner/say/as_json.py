"""A document for programs: plain numbers, null where there is nothing to say, never NaN."""

import json
import math
from typing import Any

from planner.say.document import Document

DIGITS = 4
"""Decimals that carry meaning."""


def json_text(of: Document) -> str:
    """Return the figures of a document as JSON."""
    return json.dumps(_plain(of.data), ensure_ascii=False, indent=2, allow_nan=False)


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(key): _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, bool) or value is None or isinstance(value, int | str):
        return value
    number = float(value)
    # 0.0 is added so that a rounded -0.0 loses its sign.
    return round(number, DIGITS) + 0.0 if math.isfinite(number) else None
