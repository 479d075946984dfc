"""A sale with its after-care, and the form of a page as a browser would send it back."""

from datetime import date
from uuid import uuid4

from shop.actions.call_backs import judge_call_back, take_call_back
from shop.actions.care_terms import agree_care, load_guarantee_parts, usual_terms
from shop.actions.sale_course import deliver_sale
from shop.actions.sales import sell
from shop.actions.visits import book_visit, write_up_visit
from shop.models import GuaranteePart, Sale
from tests import make
from tests.journeys.page_forms import forms_on

SOLD_ON = date(2026, 1, 31)


def posted(page, *, form: int = 0, **typed) -> dict:
    """The page's form as it stands, with some fields typed over; each time a form of its own."""
    forms = [each for each in forms_on(page.content.decode(), "/") if "form_token" in each.standing()]
    return forms[form].standing() | {"form_token": uuid4().hex} | typed


def make_sale_with_care(
    *, by, person=None, delivered_on: date | None = None, agreed: bool = True, **changed
) -> Sale:
    if not GuaranteePart.objects.exists():
        load_guarantee_parts()
    buyer = person or make.make_person(name="Bea Buyer", address="4 Salt Lane, Nether Marl")
    instrument = make.make_instrument(by=by)
    make.make_purchase(instrument=instrument, by=by)
    sale = sell(instrument=instrument, person=buyer, price_minor=180_000, by=by, on=SOLD_ON)
    if delivered_on:
        deliver_sale(sale=sale, handed_over_on=delivered_on, by=by)
    if agreed:
        agree_care(sale=sale, terms=usual_terms(), by=by)
    return sale


def make_call_back(*, instrument, by, on: date = SOLD_ON, **told):
    told = {"words": "The pedal squeaks.", "part": "pedals", "part_name": "Pedals and trapwork"} | told
    return take_call_back(instrument=instrument, told_on=on, by=by, on=on, **told)


def make_visit(*, instrument, by, booked_for: date, on: date = SOLD_ON, **fields):
    fields = {"who": by, "where": "4 Salt Lane"} | fields
    return book_visit(instrument=instrument, booked_for=booked_for, by=by, on=on, **fields)


def make_after_care(sale: Sale, *, by):
    """A call-back that is judged and open, a visit that was made, and one that is booked."""
    told = make_call_back(
        instrument=sale.instrument, words="Canary Customer says: it squeaks.", by=by, on=make.A_DAY
    )
    judge_call_back(call_back=told, verdict="goodwill", why="A good customer.", by=by, on=make.A_DAY)
    done = make_visit(instrument=sale.instrument, booked_for=make.A_DAY, on=make.A_DAY, by=by)
    work = "Tuned, and the pedal eased."
    write_up_visit(visit=done, visited_on=make.A_DAY, work=work, by=by, on=make.A_DAY)
    booked = make_visit(instrument=sale.instrument, booked_for=make.A_DAY, on=make.A_DAY, by=by)
    return told, booked
