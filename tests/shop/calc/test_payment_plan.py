"""Stages by the ledger: our own arithmetic, on a price of 1,800.00 in three stages."""

from datetime import date

import pytest

from shop.calc.payment_plan import StageAgreed, attributed, due_minor, late_minor, off_by_minor

MAY = date(2026, 5, 4)
JUNE = date(2026, 6, 4)
PLAN = (StageAgreed(30_000, MAY), StageAgreed(70_000), StageAgreed(80_000, JUNE))


@pytest.mark.parametrize(
    ("paid", "falls"),
    [
        (0, (0, 0, 0)),
        (30_000, (30_000, 0, 0)),
        (30_001, (30_000, 1, 0)),
        (100_000, (30_000, 70_000, 0)),
        (180_000, (30_000, 70_000, 80_000)),
        (200_000, (30_000, 70_000, 80_000)),
        (-5, (0, 0, 0)),
    ],
)
def test_what_is_paid_goes_to_the_first_stage_first(paid, falls):
    assert tuple(stage.paid_minor for stage in attributed(PLAN, paid, on=MAY)) == falls


@pytest.mark.parametrize(
    ("paid", "on", "due", "late"),
    [
        (0, date(2026, 5, 3), 0, 0),
        (0, MAY, 30_000, 0),  # on its day it is due and not late
        (10_000, date(2026, 5, 5), 20_000, 20_000),
        (30_000, date(2026, 5, 5), 0, 0),
        (30_000, JUNE, 80_000, 0),  # the second waits for its event
        (90_000, date(2026, 6, 5), 80_000, 80_000),
        (0, date(2026, 6, 5), 110_000, 110_000),
    ],
)
def test_a_stage_is_due_on_its_day_and_late_after_it(paid, on, due, late):
    stages = attributed(PLAN, paid, on=on)
    assert (due_minor(stages), late_minor(stages)) == (due, late)


def test_an_event_makes_its_stage_due():
    happened = (PLAN[0], StageAgreed(70_000, date(2026, 5, 20)), PLAN[2])
    assert due_minor(attributed(happened, 30_000, on=date(2026, 5, 20))) == 70_000


@pytest.mark.parametrize(("amounts", "off"), [([180_000], 0), ([100_000, 80_001], 1), ([179_999], -1)])
def test_the_stages_are_held_against_the_price(amounts, off):
    assert off_by_minor(amounts, 180_000) == off
