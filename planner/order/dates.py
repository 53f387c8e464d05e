"""The calendar of an order: by when stones must be there, reckoned back from the event."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from planner.cover.need import Need
from planner.cover.work import hours
from planner.job.model import Job
from planner.refusal import Refusal

HOURS_A_DAY = 4.0
"""Hours of setting stones in a day: an evening, or half a day beside other work (our choice)."""

REST_DAYS = 3
"""Days kept between the last stone and the event, for glue to cure and for mending (our choice; the
glue's own data sheet may ask for more)."""

LOOK_DAYS = 2
"""Days to fix a sample to the cloth and look at it under the lamps before the rest is ordered (our
choice)."""


@dataclass(frozen=True)
class Deadline:
    """By when stones must be there."""

    today: date

    by: date | None
    """Last day; None where the job knows neither the event nor a day for the stones."""

    why: str
    """Where that day comes from, one sentence."""

    @property
    def within(self) -> int | None:
        """Days from today; negative when it is past."""
        return None if self.by is None else (self.by - self.today).days


def deadline(job: Job, needs: Sequence[Need], today: date) -> Deadline:
    """Return by when the stones of a job must be there.

    The day the job gives, or else the event less `REST_DAYS` and the days it takes to set the stones at
    `HOURS_A_DAY`, by the slow pace of `planner.cover.work.hours`.

    Raises
    ------
    Refusal
        If a date of the job is past, or the stones would come after the event.

    """
    for field, day in (("event", job.event), ("stones_by", job.stones_by)):
        if day is not None and day < today:
            raise Refusal(
                f"field {field}: found {day}, which is past; it must be {today}, the day of the order, or "
                "later"
            )
    if job.stones_by is not None:
        if job.event is not None and job.stones_by > job.event:
            raise Refusal(
                f"field stones_by: found {job.stones_by}, which is after the event; it must be {job.event}, "
                "the event's day, or earlier"
            )
        why = f"The stones must be here by {job.stones_by}, as the job says."
        return Deadline(today, job.stones_by, why)
    if job.event is None:
        return Deadline(
            today, None, "The job gives no event and no day for the stones, so there is no deadline."
        )
    slow = hours(job, tuple(needs)).most
    setting = math.ceil(slow / HOURS_A_DAY)
    by = job.event - timedelta(days=setting + REST_DAYS)
    why = (
        f"The stones must be here by {by}: setting them takes up to {math.ceil(slow)} hours, which at "
        f"{HOURS_A_DAY:g} a day is {setting} day{'' if setting == 1 else 's'}, and {REST_DAYS} more are "
        f"allowed for glue to cure and for repairs before {job.event}."
    )
    return Deadline(today, by, why)


def on(today: date, days: int | None) -> date | None:
    """Return the day so many days from today."""
    return None if days is None else today + timedelta(days=days)
