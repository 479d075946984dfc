"""A sale and its course, in one line for a test."""

from datetime import date, timedelta

from shop.actions.sale_course import deliver_sale
from shop.actions.sales import sell
from shop.models import Sale
from tests import make


def make_sale(
    *,
    instrument=None,
    person=None,
    price=90_000,
    paid=0,
    where="shop",
    by=None,
    on: date = make.A_DAY,
    **agreed,
) -> Sale:
    """Agreed in the shop unless `where` says otherwise; "" leaves it unwritten, as in older rows."""
    return sell(
        instrument=instrument or make.make_instrument(by=by),
        person=person or make.make_person(name="Hester Blount", address="9 Quay Row"),
        price_minor=price,
        pay_now_minor=paid,
        method="card",
        agreed={"agreed_where": where} | agreed if where else None,
        by=by or make.somebody(),
        on=on,
    )


def make_delivered_sale(*, after: int = 0, by=None, on: date = make.A_DAY, **sale) -> Sale:
    """Handed over `after` days."""
    made = make_sale(by=by, on=on, **sale)
    deliver_sale(sale=made, handed_over_on=on + timedelta(days=after), by=by or make.somebody())
    return made
