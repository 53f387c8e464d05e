"""The day it is, on the maker's own calendar."""

from datetime import date, datetime


def today() -> date:
    """Return the day it is here: orders, lists and logs all count from it."""
    return datetime.now().astimezone().date()
