"""A sale that does not stand: money, books, instrument and what came in part exchange go back together."""

from datetime import date
from uuid import uuid4

import pytest

from instruments.actions.moves import move_instrument
from instruments.problems import Blocked, Refused
from shop.actions.invoices import issue_credit_note, issue_invoice
from shop.actions.ledger import credit_of, take_payment, value_in
from shop.actions.money import record_purchase
from shop.actions.part_exchange import hand_over
from shop.actions.periods import close_period
from shop.actions.sale_endings import cancel_sale, take_back_sale
from shop.actions.sales import sell
from shop.models import BookLine, Payment, SaleEnding, ShopProfile
from shop.offering import instruments_to_offer
from shop.period_figures import Figures, figures_between
from tests import make
from tests.reading import Reading, printed
from workorders.actions.bench import log_time

pytestmark = [pytest.mark.django_db, pytest.mark.both]

APRIL, MAY, JULY = date(2026, 4, 1), date(2026, 5, 4), date(2026, 7, 6)


def bought(paid, *, on=APRIL, **fields):
    instrument = make.make_instrument(made="1931", made_basis="mark")
    fields = {"route": "private", "seller": make.make_person(name="Edith Callow")} | fields
    record_purchase(
        instrument=instrument, price_minor=paid, bought_on=on, by=make.somebody(), on=on, **fields
    )
    return instrument


def sold(instrument, price, *, pay=0, on=MAY, person=None):
    person = person or make.make_person(name="Hester Blount", address="9 Quay Row")
    return sell(
        instrument=instrument,
        person=person,
        price_minor=price,
        pay_now_minor=pay,
        method="card",
        by=make.somebody(),
        on=on,
    )


def allow(sale, allowance, *, on=MAY):
    """The purchase of the incoming piano, and its allowance toward the sale."""
    incoming = bought(
        allowance, on=on, route="part_exchange", seller=sale.person, allowed_against=sale.promise
    )
    take_payment(promise=sale.promise, amount_minor=allowance, method="exchange", by=make.somebody(), on=on)
    hand_over(sale=sale, handed_over_on=on, by=make.somebody())
    return incoming


def test_a_sale_is_cancelled_and_the_money_given_back():
    sale = sold(bought(180_000), 420_000, pay=100_000)
    ending = cancel_sale(sale=sale, reason="Their stairs", method="card", by=make.somebody(), on=JULY)
    told = (ending.credit_note, ending.paid_minor, ending.given_back_minor)
    assert told == (f"{sale.number}-E", 100_000, 100_000)
    sale.promise.refresh_from_db()
    assert sale.promise.outcome == "cancelled" and value_in(sale.promise) == 0
    back = BookLine.objects.last()
    assert (back.corrects.number, back.document, back.tax_minor) == (2, ending.credit_note, -40_000)
    assert sale.instrument in instruments_to_offer()
    assert sold(sale.instrument, 400_000, on=JULY).number != sale.number


def test_taken_back_it_is_in_the_workshop_and_what_was_paid_can_stay_as_credit():
    sale = sold(bought(1), 1_000, pay=1_000)
    take_back_sale(sale=sale, reason="Rejected", give_back="credit", by=make.somebody(), on=MAY)
    assert credit_of(sale.person) == 1_000
    sale.instrument.refresh_from_db()
    assert sale.instrument.place == "workshop"
    assert sale.instrument.history.count() > 1 and sale.instrument.sales.get() == sale


def test_a_sale_ends_once_and_for_a_reason():
    sale = sold(bought(1), 1_000)
    with pytest.raises(Refused, match="Say why"):
        cancel_sale(sale=sale, reason=" ", by=make.somebody(), on=MAY)
    cancel_sale(sale=sale, reason="x", by=make.somebody(), on=MAY)
    with pytest.raises(Refused, match="was ended before"):
        cancel_sale(sale=sale, reason="x", by=make.somebody(), on=MAY)
    assert SaleEnding.objects.count() == 1


def test_part_exchange_goes_into_the_books_in_full_on_both_sides():
    """VATMARG13350; CHECKS 6 tests 8 and 9: margin 2,400, VAT 400; the other comes in at 900, then a loss."""
    sale = sold(bought(180_000), 420_000, pay=330_000)
    incoming = allow(sale, 90_000)
    assert value_in(sale.promise) == 420_000
    line = sale.book_lines.get()
    assert (line.margin_minor, line.tax_minor) == (240_000, 40_000)
    assert BookLine.objects.get(instrument=incoming).cost_minor == 90_000
    loss = sold(incoming, 75_000, on=JULY).book_lines.get()
    assert (loss.margin_minor, loss.tax_minor) == (-15_000, 0)


def test_an_allowance_above_what_it_is_worth_is_no_trick_on_the_tax():
    """The full allowance is the purchase price, and the loss on it is set against nothing."""
    sale = sold(bought(100_000), 300_000, pay=50_000)
    incoming = allow(sale, 250_000)
    assert sale.book_lines.get().tax_minor == 33_333
    assert sold(incoming, 40_000, on=JULY).book_lines.get().tax_minor == 0
    assert figures_between(APRIL, JULY).tax_minor == 33_333


def test_a_refused_sale_hands_back_what_came_in_part_exchange():
    """Consumer Rights Act 2015 s.20(12)."""
    sale = sold(bought(180_000), 420_000, pay=330_000)
    incoming = allow(sale, 90_000)
    ending = take_back_sale(sale=sale, reason="Rejected", method="card", by=make.somebody(), on=MAY)
    assert (ending.paid_minor, ending.given_back_minor) == (420_000, 330_000)
    assert value_in(sale.promise) == 0
    assert sorted(Payment.objects.filter(amount_minor__lt=0).values_list("method", "amount_minor")) == [
        ("card", -330_000),
        ("exchange", -90_000),
    ]
    figures = figures_between(APRIL, JULY)
    assert (figures.bought_minor, figures.gross_minor, figures.tax_minor) == (180_000, 0, 0)
    assert incoming not in instruments_to_offer()
    with pytest.raises(Refused, match="its buyer gets it back"):
        sold(incoming, 100_000)


def test_money_instead_only_where_the_customer_agrees():
    sale = sold(bought(180_000), 420_000, pay=330_000)
    incoming = allow(sale, 90_000)
    given = {"sale": sale, "reason": "Rejected", "method": "card", "by": make.somebody(), "on": MAY}
    with pytest.raises(Refused, match="unless the customer agrees"):
        take_back_sale(keep_part_exchange=True, **given)
    take_back_sale(keep_part_exchange=True, customer_agreed=True, **given)
    assert value_in(sale.promise) == 0 and incoming in instruments_to_offer()
    assert figures_between(APRIL, JULY).bought_minor == 270_000


def test_what_was_worked_on_or_sold_on_cannot_be_handed_back():
    sale = sold(bought(180_000), 420_000, pay=330_000)
    incoming = allow(sale, 90_000)
    item = make.make_item(order=make.make_order(instrument=incoming))
    log_time(item=item, person=make.somebody(), minutes=5, by=make.somebody(), on=MAY)
    given = {"sale": sale, "reason": "Rejected", "method": "card", "by": make.somebody(), "on": JULY}
    with pytest.raises(Refused, match="has been worked on"):
        take_back_sale(**given)
    sold(incoming, 100_000, on=JULY)
    with pytest.raises(Refused, match="promised to somebody else"):
        take_back_sale(**given)
    sale.promise.refresh_from_db()
    assert sale.promise.is_open and BookLine.objects.filter(corrects__isnull=False).count() == 0


def test_a_return_after_the_period_closed_stands_in_the_open_one():
    sale = sold(bought(150_000), 200_000, pay=200_000)
    period = close_period(starts_on=APRIL, ends_on=date(2026, 6, 30), by=make.somebody(), on=JULY)
    with pytest.raises(Refused, match="closed up to 30 June"):
        take_back_sale(sale=sale, reason="Rejected", by=make.somebody(), on=MAY)
    take_back_sale(sale=sale, reason="Rejected", method="card", by=make.somebody(), on=JULY)
    closed = figures_between(period.starts_on, period.ends_on)
    assert closed == Figures.from_plain(period.figures) and closed.tax_minor == 8_333
    opened = figures_between(date(2026, 7, 1), date(2026, 9, 30))
    assert (opened.gross_minor, opened.tax_minor) == (-200_000, -8_333)


def test_the_page_shows_what_it_comes_to_before_it_is_done(client, seller):
    client.force_login(seller)
    sale = sold(bought(180_000), 420_000, pay=330_000)
    allow(sale, 90_000)
    address = f"/sales/{sale.number}/end/"
    page = client.get(address).content.decode()
    assert "s. 20(12)" in page and "£3,300.00" in page
    typed = {"kind": "goodwill", "reason": "Rejected", "give_back": "refund", "method": "card"}
    shown = client.post(address, typed | {"show": "yes", "keep_part_exchange": "on"}).content.decode()
    assert "£4,200.00" in shown and "unless the customer agrees" in shown and not SaleEnding.objects.exists()
    done = client.post(address, typed | {"form_token": uuid4().hex}, follow=True).content.decode()
    assert (
        "Its refund note is ready to print" in done
        and "Credit note" not in done
        and "Taken back by agreement, as goodwill" in done
    )
    assert client.get(address).status_code == 302


def test_the_credit_note_is_printed_once_and_kept(client, seller):
    client.force_login(seller)
    sale = sold(bought(150_000), 200_000, pay=200_000)
    assert client.get(f"/sales/{sale.number}/credit-note.pdf").status_code == 404
    ShopProfile(pk=1, name="Larkrow Pianos", address="3 Larkrow", vat_number="GB 000 0000 00").save()
    issue_invoice(sale=sale, by=seller, on=MAY)
    cancel_sale(sale=sale, reason="Their stairs", method="card", by=seller, on=JULY)
    first = issue_credit_note(sale=sale, by=seller)
    assert issue_credit_note(sale=sale, by=seller) == first
    text = Reading(client.get(f"/sales/{sale.number}/credit-note.pdf").content).text
    assert "Credit note CN26-001" in text and f"{sale.number} of 4 May 2026" in text
    assert "−£2,000.00" in text and "Their stairs" in text and "333" not in text


def test_without_an_invoice_there_is_none_to_credit_and_none_is_printed_afterwards(client, seller):
    client.force_login(seller)
    sale = sold(bought(150_000), 200_000, pay=200_000)
    cancel_sale(sale=sale, reason="Their stairs", method="card", by=seller, on=JULY)
    answer = printed(client, f"/sales/{sale.number}/credit-note.pdf").content.decode()
    assert "No invoice was printed for this sale" in answer and "Credit note" not in answer
    assert "Refund note RC26-002 (PDF)" in answer
    with pytest.raises(Blocked, match="nothing to invoice"):
        issue_invoice(sale=sale, by=seller, on=JULY)
    assert not sale.papers.exists()


def test_that_it_is_back_is_ticked_only_where_the_record_says_so(client, seller):
    client.force_login(seller)
    sale = sold(bought(150_000), 200_000, pay=200_000)
    ticked = []
    for place in ("workshop", "customer"):
        move_instrument(instrument=sale.instrument, place=place, by=seller, on=MAY)
        form = client.get(f"/sales/{sale.number}/end/").context["form"]
        ticked.append(bool(form["is_back"].value()))
    assert ticked == [True, False]


def test_what_was_kept_is_named_and_the_papers_stay_within_reach(client, seller):
    client.force_login(seller)
    sale = sold(bought(150_000), 200_000, pay=200_000)
    kept = {"deduction_minor": 4_000, "deduction_for": "a chipped covering"}
    take_back_sale(sale=sale, reason="Too loud", method="card", **kept, by=seller, on=JULY)
    page = client.get(sale.get_absolute_url()).content.decode()
    assert "Kept: a chipped covering" in page and "£40.00" in page
    assert "of what they paid is still with us" not in page
    for words in ("Receipt RC26-001 (PDF)", "Refund note RC26-002 (PDF)", "Statement of account"):
        assert words in page


def test_what_is_on_sale_or_return_is_its_owners_again_and_can_be_sold_again():
    agreement = make.make_sale_or_return(by=make.somebody())
    sale = sold(agreement.instrument, 150_000, on=make.A_DAY)
    cancel_sale(sale=sale, reason="x", by=make.somebody(), on=make.A_DAY)
    assert figures_between(make.A_DAY, JULY).bought_minor == 0
    again = sold(agreement.instrument, 160_000, on=make.A_DAY)
    figures = figures_between(make.A_DAY, JULY)
    assert figures.gross_minor == 160_000
    assert figures.bought_minor == again.book_lines.get().cost_minor > 0
