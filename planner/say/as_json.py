"""A document for programs: plain numbers, null where there is nothing to say, never NaN."""

import json
import math
from collections.abc import Mapping
from typing import Any

from planner.say.document import Document

DIGITS = 4
"""Decimals that carry meaning."""


def json_text(of: Document) -> str:
    """Return the figures of a document as JSON; what a person entered is not rounded."""
    digits = None if of.entered else DIGITS
    return json.dumps(_plain(of.data, digits), ensure_ascii=False, indent=2, allow_nan=False)


def _plain(value: Any, digits: int | None) -> Any:
    if isinstance(value, Mapping):
        return {str(key): _plain(one, digits) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one, digits) for one in value]
    if isinstance(value, bool) or value is None or isinstance(value, int | str):
        return value
    number = float(value)
    if not math.isfinite(number):
        return None
    # 0.0 is added so that a rounded -0.0 loses its sign.
    return number if digits is None else round(number, digits) + 0.0
