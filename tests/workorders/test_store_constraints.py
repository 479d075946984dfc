"""What the database itself refuses of stores and outside work."""

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from tests import make
from workorders.models import Consumable, OutsideJob, Outworker, StockMovement, TaskPart

pytestmark = pytest.mark.django_db


def wire(**fields) -> Consumable:
    fields = {"kind": "strings", "name": "Wire 15", "unit": "m", "diameter_mm": Decimal("0.875")} | fields
    return Consumable.objects.create(**fields)


def moved(**fields) -> StockMovement:
    fields = {"kind": "delivery", "quantity": 1, "value_minor": 100, "moved_on": make.A_DAY} | fields
    return StockMovement.objects.create(consumable=wire(), recorded_by=make.somebody(), **fields)


def job(**fields) -> OutsideJob:
    fields = {"number": "O26-001", "kind": "polishing", "work": "Polish", "asked_on": make.A_DAY} | fields
    outworker = Outworker.objects.create(name="Hazel Finch")
    return OutsideJob.objects.create(order=make.make_order(), outworker=outworker, **fields)


@pytest.mark.parametrize(
    ("row", "wrong"),
    [
        # CHECKS section 3: lists disagree above 23, so millimetres are stored and never a gauge alone.
        (wire, {"kind": "other", "gauge": Decimal(15), "gauge_table": "metric", "diameter_mm": None}),
        (wire, {"gauge": Decimal(15)}),
        (wire, {"diameter_mm": None}),
        (wire, {"kind": "leads", "diameter_mm": None}),
        (moved, {"quantity": -1}),
        (moved, {"kind": "written_off"}),
        (moved, {"kind": "counted", "counted": 1}),
        (moved, {"kind": "used", "quantity": -1, "value_minor": -100}),
        (moved, {"kind": "undelivered", "quantity": -1, "value_minor": -100}),
        (job, {"state": "sent", "sent_on": make.A_DAY}),
        (job, {"state": "sent", "what_goes": "The keys"}),
        (job, {"state": "back", "what_goes": "The keys", "sent_on": make.A_DAY}),
        (job, {"state": "cancelled"}),
    ],
)
def test_the_database_refuses_a_row_that_says_too_little(row, wrong):
    with pytest.raises(IntegrityError), transaction.atomic():
        row(**wrong)


def test_a_typical_part_is_kept_in_stock_or_has_a_name():
    with pytest.raises(IntegrityError), transaction.atomic():
        TaskPart.objects.create(task=make.make_task(), quantity=1)


def test_two_consumables_do_not_share_a_name():
    wire()
    with pytest.raises(IntegrityError), transaction.atomic():
        wire(name="wire 15")
