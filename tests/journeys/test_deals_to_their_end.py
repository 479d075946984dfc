"""From the first paper to the settled account, by each ending of a deal, pressed through in a real browser.

The sums beside each step are worked by hand; papers, receipts and statement are read back and held to them.
"""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from instruments.models import Instrument
from shop.actions.ledger import credit_of
from shop.actions.terms import load_clauses
from shop.models import Person, Promise, Receipt, Sale, SaleEnding, ShopProfile
from shop.offering import instruments_to_offer
from shop.verification import Verification
from tests import make
from tests.journeys.conftest import log_in
from tests.journeys.lending import Desk
from tests.journeys.steps import SALES_DESK

pytestmark = pytest.mark.django_db(transaction=True)
NELL = "Nell Sorrel"


@pytest.fixture
def desk(open_page, seller, live_server):
    load_clauses()
    ShopProfile.objects.create(pk=1, name="Larkrow Pianos", address="3 Larkrow, Kettlebeck")
    page = open_page(viewport=SALES_DESK)
    log_in(page, Client(), seller, live_server)
    return Desk(page)


def priced(maker: str, amount_minor: int) -> Instrument:
    instrument = make.make_instrument(maker=maker, serial="31447", weight_kg=230)
    make.make_price(instrument=instrument, amount_minor=amount_minor)
    return instrument


@pytest.fixture
def piano(db):
    return priced("Halden & Rook", 180_000)


def today() -> str:
    return timezone.localdate().isoformat()


def nell() -> Person:
    return Person.objects.get(name=NELL)


def nothing_is_open_or_wrong() -> None:
    """A sale that stands stays open."""
    assert list(Verification().faults()) == [] and not Promise.objects.open().exclude(kind="sale").exists()


def test_kept_after_every_step_it_is_paid_and_settled(desk, piano):
    trial = desk.draft(piano, name=NELL, pay_now="1,000", delivery_minor="95")
    desk.prepare()
    desk.send_out(NELL)
    desk.sign_slip("Delivery note", NELL)
    desk.choose("They keep it")
    desk.says("£1,000.00 has been paid; £800.00 is still to pay.")
    desk.press("Make it a sale")
    desk.page.goto(trial.get_absolute_url())
    desk.next_is("Take the payment")
    desk.fill(amount_minor="800", method="card")
    desk.press("It is paid")
    desk.says("Paid in full.")
    desk.press(f"home trial {trial.number}")
    sale = Sale.objects.get()
    told = desk.settle(trial, NELL)
    for words in (
        f"kept, sale {sale.number}",
        "Paid on",
        "−£1,000.00",
        "Left over",
        "For delivery",
        "£95.00",
    ):
        assert words in told
    assert "Still to pay on it £0.00" in told
    assert desk.receipts(nell()) == [100_000, 9_500, 80_000]
    # 1,000 paid, and still that as credit; less the price of 1,800 is -800, used or not; and 800 paid.
    assert desk.statement(nell()) == ["£1,000.00", "£1,000.00", "−£800.00", "−£800.00", "£0.00"]
    nothing_is_open_or_wrong()


def exchange(desk, other: Instrument, comes_to: str) -> Sale:
    """What it comes to stands there before anybody agrees to it."""
    desk.choose("Exchange it")
    desk.fill(other=str(other.pk))
    desk.page.locator("#comes-to", has_text=comes_to).wait_for()
    desk.press("Exchange")
    desk.page.wait_for_url("**/sales/**")
    return Sale.objects.get(instrument=other)


def test_exchanged_up_the_difference_is_paid_and_the_first_comes_back(desk, piano):
    dearer = priced("Castlemere", 240_000)
    trial = desk.draft(piano, name=NELL, pay_now="1,234.56")
    desk.send_out(NELL)
    sale = exchange(desk, dearer, "£1,165.44")  # 2,400.00 less 1,234.56
    desk.says("£1,165.44 is still to pay.")
    desk.press("Take a payment")
    desk.fill(amount_minor="1,165.44", method="transfer")
    desk.press("It is paid")
    desk.says("Paid in full.")
    desk.press(f"home trial {trial.number}")
    desk.look_over()
    told = desk.settle(trial, NELL)
    for words in (f"exchanged for another, sale {sale.number}", "£1,234.56", "−£1,234.56", "Left over all"):
        assert words in told
    for words in ("Its price £2,400.00", "Paid toward it £2,400.00", "Still to pay on it £0.00"):
        assert words in told
    assert desk.receipts(nell()) == [123_456, 116_544]
    # 1,234.56 paid, and so while it is credit; less 2,400.00 is -1,165.44; and that is paid.
    assert desk.statement(nell()) == ["£1,234.56", "£1,234.56", "−£1,165.44", "−£1,165.44", "£0.00"]
    assert piano in instruments_to_offer()
    nothing_is_open_or_wrong()


def test_exchanged_down_what_is_left_over_buys_a_third_one_later(desk, piano):
    cheaper, third = priced("Castlemere", 120_000), priced("Wexcombe", 75_000)
    trial = desk.draft(piano, name=NELL, pay_now="1,800")
    desk.send_out(NELL)
    exchange(desk, cheaper, "£600.00")
    desk.says("£600.00 is left in credit.")
    desk.press(f"home trial {trial.number}")
    desk.look_over()
    told = desk.settle(trial, NELL)
    for words in ("−£1,800.00", "Its price £1,200.00", "In credit with us £600.00"):
        assert words in told
    assert credit_of(nell()) == 60_000

    desk.page.goto(third.get_absolute_url())
    desk.press("Sell it")
    desk.fill(person=str(nell().pk), credit_minor="600", pay_now_minor="150", method="cash")
    desk.press("Record the sale")
    desk.says("Paid in full.")
    assert desk.receipts(nell()) == [180_000, 15_000]
    # 1,800 paid, then credit; less 1,200 is 600, and that in credit; less 750 is -150, used or not; 150 paid.
    after_the_exchange = ["£1,800.00", "£1,800.00", "£600.00", "£600.00"]
    assert desk.statement(nell()) == [*after_the_exchange, "−£150.00", "−£150.00", "£0.00"]
    assert credit_of(nell()) == 0
    nothing_is_open_or_wrong()


def test_come_back_with_damage_each_deduction_is_agreed_and_the_rest_given_back(desk, piano):
    trial = desk.draft(piano, name=NELL, pay_now="1,800", delivery_minor="95")
    desk.send_out(NELL)
    desk.choose("It comes back")
    desk.press("have it fetched")
    desk.fetch()
    desk.sign_slip("Collection note", NELL)
    desk.look_over(fault="A deep scratch along the fall")
    desk.press("What changed between the two")
    desk.says("A deep scratch along the fall")
    desk.page.goto(trial.get_absolute_url())
    for line in (
        {"kind": "damage", "words": "Polish the scratch out", "amount_minor": "45", "agreed_how": "signed"},
        {"kind": "missing", "words": "Key of the fall", "amount_minor": "12.50", "agreed_how": "written"},
    ):
        desk.next_is("Settle the return")
        desk.press("Agree a deduction")
        desk.fill(**line)
        desk.press("Write it down")
    desk.next_is("Settle the return")
    desk.page.locator("#comes-to", has_text="£1,742.50").wait_for()  # 1,800.00 less 45.00 less 12.50
    desk.fill(method="card")
    desk.press("End the trial")
    told = desk.settle(trial, NELL)
    for words in (
        "Deducted, damage: Polish the scratch out",
        "signed on the condition sheet −£45.00",
        "Deducted, something missing: Key of the fall",
        "in a letter or an e-mail −£12.50",
        "−£1,742.50",
        "Kept by us £57.50",
        "For delivery",
    ):
        assert words in told
    assert desk.receipts(nell()) == [180_000, 9_500, -174_250]
    assert desk.statement(nell()) == ["£1,800.00", "£1,755.00", "£1,742.50", "£0.00"]
    assert piano in instruments_to_offer()
    nothing_is_open_or_wrong()


def test_sold_by_telephone_and_cancelled_the_money_goes_back_whole_and_the_piano_into_stock(desk, piano):
    desk.page.goto(piano.get_absolute_url())
    desk.press("Sell it")
    desk.fill(
        new_name=NELL, new_address="4 Salt Lane\nPenhallow", agreed_where="distance", informed_on=today()
    )
    desk.fill(price_minor="1,800", pay_now_minor="500", method="card")
    desk.press("Record the sale")
    desk.says("£1,300.00 is still to pay.")
    desk.press("Take a payment")
    desk.fill(amount_minor="1,300", method="card")
    desk.press("It is paid")
    desk.press("Plan its delivery")
    desk.fill(planned_on=today(), address="4 Salt Lane", mover="Cobb Carriers")
    desk.press("Save")
    desk.press("Write down the hand-over")
    desk.fill(handed_over_on=today(), received_by="Ned Sorrel")
    desk.press("Save")
    assert Instrument.objects.get().place == "customer"

    desk.page.get_by_text("Seldom needed").click()
    desk.press("The buyer ends the sale")
    desk.fill(reason="Too loud for the room")
    desk.press("Save")
    desk.says("To be given back by")
    desk.press("What happened since")
    desk.fill(back_on=today())
    desk.press("Save")
    desk.press("Give it back and end the sale")
    desk.fill(method="card")
    desk.press("End the sale")
    desk.press("Walk round it, as it came back")
    desk.walk_round()
    desk.says("Cancelled under the right to cancel")
    note = " ".join(desk.printed(Receipt.objects.last().get_absolute_url()).split())
    for words in (
        SaleEnding.objects.get().credit_note,
        "−£1,800.00",
        "right to cancel: Too loud for the room",
    ):
        assert words in note
    assert desk.receipts(nell()) == [50_000, 130_000, -180_000]
    # 1,800 charged; 500 paid leaves -1,300; 1,300 paid; the price comes off again, and all goes back.
    paid = ["−£1,800.00", "−£1,300.00", "£0.00"]
    assert desk.statement(nell()) == [*paid, "£1,800.00", "£0.00"]
    desk.page.goto(reverse("shop:record_page", args=[piano.stock_number]))
    desk.says("received by Ned Sorrel", "Too loud for the room", SaleEnding.objects.get().credit_note)
    desk.page.goto(piano.get_absolute_url())
    assert desk.page.get_by_role("link", name="Sell it").is_visible()
    assert piano in instruments_to_offer()
    nothing_is_open_or_wrong()
