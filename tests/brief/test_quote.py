"""A quote: sums checked by hand, and what nobody knows named beside the total."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from planner.brief.gather import Cost
from planner.brief.page import brief
from planner.catalogue import Refusal
from planner.job import Job, read_job_file
from planner.job.quote import Quote
from planner.order.quote import quoted

TERMS = Quote.model_validate({
    "hours": 12, "charges": {"fitting": 40}, "not_known": ["travel"], "margin": 0.15, "deposit": 0.3,
    "valid_until": date(2031, 1, 31),
})  # fmt: skip


def priced(job, **fields):
    return job.model_copy(update={"hourly_rate": Decimal("18.50"), "quote": TERMS, **fields})


def test_it_adds_up(job):
    """96.40 + 12 h × 18.50 + 40.00 is 358.40; 15 % of it 53.76; together 412.16; 30 % of that 123.65."""
    found = quoted(priced(job), 99.0, Decimal("96.40"))
    assert found.work == Decimal("222.00")
    assert (found.margin, found.total, found.deposit) == tuple(map(Decimal, ("53.76", "412.16", "123.65")))


def test_without_terms_it_is_stones_and_the_usual_hours(job):
    found = quoted(priced(job, quote=None), 2.04, Decimal("96.40"))
    assert found.hours == Decimal("2.0")
    assert (found.margin, found.deposit, found.total) == (0, 0, Decimal("133.40"))


def test_the_page_says_it_and_what_is_not_in_it(told, not_set):
    cost = Cost(Decimal("96.4"), "EUR", unsaid=(("Hem & Co", ("duty",)),))
    mine = replace(told, job=priced(told.job), cost=cost, quote=True)
    text = " ".join(brief(mine).text().split())
    for said in (
        "Work: 12 hours at €18.50: €222.00", "Fitting: €40.00", "Margin: 15 %: €53.76",
        "Total of what is known: €412.16",
        "Not included: duty (Hem & Co), travel, any tax due on this sale.",
        "Deposit before work begins: €123.65 (30 %).", "Valid until 31 January 2031.",
    ):  # fmt: skip
        assert said in text
    assert "Quote" not in brief(replace(mine, quote=False)).text()
    bare = " ".join(brief(replace(mine, cost=None, job=priced(told.job, hourly_rate=None))).text().split())
    assert (
        "Not included: the stones, which are not priced yet, the work, whose rate is not agreed yet" in bare
    )


def test_it_is_kept_with_the_job(tmp_path):
    path = tmp_path / "hoop.toml"
    head = 'title = "Hoop"\nswatch = "#2a4b9c"\nvenues = ["theatre"]\n'
    path.write_text(
        head + "quote = { charges = { fitting = 40 }, deposit = 0.3 }  # agreed\n", encoding="utf-8"
    )
    file = read_job_file(path)
    assert file.job.quote.charges == (("fitting", Decimal(40)),)
    file.with_job(file.job.model_copy(update={"client": "Ada"})).save()
    assert "# agreed" in path.read_text(encoding="utf-8")
    path.write_text(head + "quote = { deposit = 3 }\n", encoding="utf-8")
    with pytest.raises(Refusal, match=r"field quote\.deposit"):
        read_job_file(path)
    assert Job.model_fields["quote"].default is None
