"""An instrument comes in: what it is, who it came from, what was told and what the camera saw, in one act."""

from collections.abc import Iterable, Mapping
from datetime import date

from django.db import transaction

from instruments.actions.intake import create_instrument
from instruments.actions.photos import attach_pictures
from instruments.actions.statements import add_statement
from instruments.models import Instrument
from instruments.states import Grade, Topic
from shop.actions.money import record_purchase
from shop.actions.people import add_person
from shop.models import Person, ShopProfile
from shop.states import PurchaseRoute


@transaction.atomic
def log_instrument(
    *,
    identity: Mapping,
    seller: Person | None = None,
    new_seller: str = "",
    price_minor: int | None = None,
    bought_on: date | None = None,
    route: str = PurchaseRoute.PRIVATE,
    history: str = "",
    told_by: str = "",
    teller: str = "",
    told_on: date | None = None,
    pictures: Iterable[Mapping] = (),
    by,
    on: date,
) -> Instrument:
    """Log an instrument with all that is known on the day. Only `identity` (fields of Instrument) is needed.

    A purchase is written down when a seller, a price or an unusual route is known; the history as a
    statement that is told and no more. Who told it counts as an owner only where `teller` says so.
    """
    instrument = create_instrument(by=by, on=on, **ShopProfile.current().usual_touch | identity)
    if new_seller:
        seller = add_person(name=new_seller, by=by)
    if seller or price_minor is not None or route != PurchaseRoute.PRIVATE:
        record_purchase(
            instrument=instrument,
            seller=seller,
            price_minor=price_minor,
            bought_on=bought_on,
            route=route,
            by=by,
        )
    if history:
        add_statement(
            instrument=instrument,
            by=by,
            topic=Topic.GENERAL,
            text=history,
            grade=Grade.TOLD,
            told_by=told_by,
            teller=teller,
            told_on=told_on or bought_on or on,
        )
    attach_pictures(instrument=instrument, pictures=pictures, by=by)
    return instrument


@transaction.atomic
def log_many(*, records: Iterable[Mapping], by, on: date) -> list[Instrument]:
    """Log a whole list or none of it. A new seller named twice in it is one person."""
    sellers: dict[str, Person] = {}
    logged = []
    for record in records:
        record = dict(record)
        if name := record.pop("new_seller", ""):
            record["seller"] = sellers.get(name) or sellers.setdefault(name, add_person(name=name, by=by))
        logged.append(log_instrument(**record, by=by, on=on))
    return logged
