"""A sale by telephone: delivered, cancelled on the last day, fetched, paid back in time, and offered again.

Consumer Contracts Regulations 2013 regs 29 to 34 (CHECKS section 8, tests 1 and 5): delivered on 2 March,
cancelled to the end of 16 March; told on the 16th with collection offered, paid back by 30 March.
"""

from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from django.urls import reverse

from shop.models import Payment, Receipt, Sale, SaleEnding
from shop.offering import instruments_to_offer
from shop.period_figures import figures_between
from shop.verification import Verification
from tests import make
from tests.make_sale import make_sale
from tests.reading import Reading, printed

pytestmark = [pytest.mark.django_db, pytest.mark.both]

SOLD, DELIVERED, LAST, FETCHED, PAID_BACK = (
    datetime(2026, *day, 10, tzinfo=UTC) for day in ((2, 24), (3, 2), (3, 16), (3, 19), (3, 27))
)


@pytest.fixture
def desk(client, seller, time_machine):
    """A seller who does one thing after another, each on its day."""
    client.force_login(seller)

    class Desk:
        def on(self, day):
            time_machine.move_to(day, tick=False)

        def send(self, name, *args, **typed):
            address = reverse(f"shop:{name}", args=args)
            answer = client.post(address, {"form_token": uuid4().hex} | typed, follow=True)
            return answer.content.decode()

        def page(self, address):
            return client.get(address).content.decode()

        def paper(self, name, *args):
            return Reading(printed(client, reverse(f"shop:{name}", args=args)).content).text

    return Desk()


@pytest.fixture
def piano():
    instrument = make.make_instrument(made="1931", made_basis="mark")
    make.make_purchase(instrument=instrument, price_minor=30_000)
    return instrument


def sell_by_telephone(desk, piano) -> Sale:
    desk.on(SOLD)
    person = make.make_person(name="Hester Blount", address="9 Quay Row\nTarn Staithe")
    money = {"price_minor": "900", "pay_now_minor": "900", "method": "card"}
    agreed = {"agreed_where": "distance", "informed_on": "2026-02-24"}
    desk.send("sale_record", piano.stock_number, person=person.pk, **money, **agreed)
    return Sale.objects.get(instrument=piano)


def deliver(desk, sale) -> None:
    planned = {"planned_on": "2026-03-02", "address": "9 Quay Row", "mover": "Staithe Carriers"}
    desk.send("sale_delivery", sale.number, access="Two steps, a wide door", **planned)
    desk.on(DELIVERED)
    desk.send("sale_hand_over", sale.number, handed_over_on="2026-03-02", received_by="Ned Blount")


def test_cancelled_on_the_last_day_it_is_paid_back_in_time_and_offered_again(desk, piano):
    sale = sell_by_telephone(desk, piano)
    told = desk.paper("sale_cancelling", sale.number)
    assert "end of the fourteenth day after" in told and f"I cancel the sale {sale.number}" in told
    deliver(desk, sale)
    note = desk.paper("sale_delivery_note", sale.number)
    assert "Staithe Carriers" in note and "Two steps" in note and "Ned Blount" in note
    piano.refresh_from_db()
    assert piano.place == "customer" and "16 March 2026" in desk.page(sale.get_absolute_url())

    desk.on(LAST)
    right = {"kind": "right", "told_on": "2026-03-16", "reason": "Too loud", "collection_offered": "on"}
    assert "To be given back by 30 March 2026" in desk.send("sale_notice", sale.number, **right)
    assert "Sales that end: money to give back" in desk.page("/")
    desk.on(FETCHED)
    desk.send("sale_notice", sale.number, back_on="2026-03-19", **right)
    piano.refresh_from_db()
    assert piano.place == "workshop" and not SaleEnding.objects.exists()

    desk.on(PAID_BACK)
    ends = {"kind": "right", "reason": "Too loud", "give_back": "refund", "is_back": "on"}
    other = desk.send("sale_end", sale.number, method="cash", **ends)
    assert "paid back the way they paid" in other and not SaleEnding.objects.exists()
    desk.send("sale_end", sale.number, method="card", **ends)
    ending = SaleEnding.objects.get()
    assert (ending.told_on, ending.refund_by) == (date(2026, 3, 16), date(2026, 3, 30))
    assert ending.ended_on <= ending.refund_by and ending.given_back_minor == 90_000
    assert sum(Payment.objects.values_list("amount_minor", flat=True)) == 0

    note = " ".join(desk.paper("receipt_print", Receipt.objects.last().number).split())
    for words in (ending.credit_note, "−£900.00", "right to cancel: Too loud", "by 30 March 2026"):
        assert words in note
    figures = figures_between(date(2026, 1, 1), date(2026, 12, 31))
    assert (figures.gross_minor, figures.tax_minor) == (0, 0) and list(Verification().faults()) == []

    assert piano in instruments_to_offer()
    assert [move.place for move in piano.moves.order_by("id")][-2:] == ["customer", "workshop"]
    page = desk.page(sale.get_absolute_url())
    assert "Walk round it, as it came back" in page
    report = make.make_report(instrument=piano, occasion="back_from_buyer", on=date(2026, 3, 19))
    page = desk.page(sale.get_absolute_url())
    assert report.get_absolute_url() in page and "Walk round it" not in page
    record = desk.page(reverse("shop:record_page", args=[piano.stock_number]))
    for words in ("received by Ned Blount", "told on 16 March 2026", sale.number, ending.credit_note):
        assert words in record
    assert make_sale(instrument=piano, on=date(2026, 3, 27)).number != sale.number


def test_the_day_after_it_is_refused_as_a_right_and_may_be_goodwill(desk, piano):
    sale = sell_by_telephone(desk, piano)
    deliver(desk, sale)
    desk.on(FETCHED)
    typed = {"told_on": "2026-03-17", "reason": "Too loud", "collection_offered": "on"}
    refused = desk.send("sale_notice", sale.number, kind="right", **typed)
    assert "The last day to cancel was 16 March 2026" in refused and "Too loud" in refused
    assert not sale.notices.exists()
    ended = {"reason": "Too loud", "give_back": "refund", "method": "card", "is_back": "on"}
    desk.send("sale_notice", sale.number, kind="goodwill", **typed)
    refused = desk.send("sale_end", sale.number, kind="right", **ended)
    assert "The last day to cancel was" in refused and not SaleEnding.objects.exists()
    desk.send("sale_end", sale.number, kind="goodwill", **ended)
    ending = SaleEnding.objects.get()
    assert ending.kind == "goodwill" and ending.refund_by is None
    note = " ".join(desk.paper("receipt_print", Receipt.objects.last().number).split())
    assert "Taken back by agreement, as goodwill" in note
