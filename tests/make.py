"""Small helpers that make one row each; a test states only what matters to it."""

from datetime import date

from django.contrib.auth.models import Group, User

from instruments.models import Instrument
from shop.models import AskingPrice, Person, Purchase
from workorders.models import Task, WorkItem, WorkOrder

A_DAY = date(2026, 3, 21)


def make_user(username: str, full_name: str = "", *groups: Group) -> User:
    first, _, last = full_name.partition(" ")
    user = User.objects.create_user(username, password="quiet-felt-52", first_name=first, last_name=last)
    user.groups.set(groups)
    return user


def somebody() -> User:
    return User.objects.first() or make_user("ada", "Ada Prowse")


def make_instrument(*, by=None, stock_number: str = "", **fields) -> Instrument:
    fields = {
        "kind": "upright",
        "maker": "Halden & Rook",
        "key_count": 85,
        "natural_covering": "celluloid",
        "sharp_covering": "stained",
    } | fields
    number = stock_number or f"26-{Instrument.objects.count() + 1:03d}"
    return Instrument.objects.create(stock_number=number, logged_by=by or somebody(), **fields)


def make_person(*, name: str = "Wilf Arden", **fields) -> Person:
    return Person.objects.create(name=name, **fields)


def make_purchase(*, instrument, price_minor: int = 20_000, by=None, **fields) -> Purchase:
    return Purchase.objects.create(
        instrument=instrument, price_minor=price_minor, recorded_by=by or somebody(), **fields
    )


def make_price(*, instrument, amount_minor: int = 180_000, by=None, on: date = A_DAY) -> AskingPrice:
    return AskingPrice.objects.create(
        instrument=instrument, amount_minor=amount_minor, set_on=on, set_by=by or somebody()
    )


def make_task(*, code: str = "lubricate-action", **fields) -> Task:
    fields = {
        "name": "Lubricate the action",
        "rank": 13,
        "usual_minutes": 90,
        "done_when": "notes return",
    } | fields
    return Task.objects.create(code=code, **fields)


def make_order(*, instrument=None, by=None, **fields) -> WorkOrder:
    fields = {"title": "Prepare for sale", "opened_on": A_DAY} | fields
    number = f"W26-{WorkOrder.objects.count() + 1:03d}"
    return WorkOrder.objects.create(
        number=number, instrument=instrument or make_instrument(), opened_by=by or somebody(), **fields
    )


def make_item(*, order=None, needs=(), **fields) -> WorkItem:
    fields = {"name": "Lubricate the action", "rank": 13} | fields
    item = WorkItem.objects.create(order=order or make_order(), **fields)
    item.needs.set(needs)
    return item
