"""The page of a sale: one next step, money whose lines add up, and a price far from the one asked."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from shop.actions.care_terms import agree_care, usual_terms
from shop.actions.invoices import issue_invoice
from shop.actions.ledger import take_payment
from shop.actions.promises import place_hold, release_hold
from shop.actions.sale_course import plan_delivery, write_agreed
from shop.actions.sale_endings import end_sale
from shop.actions.trials import keep_trial
from shop.models import Sale, ShopProfile
from tests import make
from tests.make_sale import make_delivered_sale, make_sale

pytestmark = pytest.mark.django_db
ON = make.A_DAY


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def page_of(desk, sale):
    return desk.get(sale.get_absolute_url())


def next_of(desk, sale) -> str:
    following = page_of(desk, sale).context["next"]
    return following.words if following else ""


def pay(sale, amount):
    take_payment(promise=sale.promise, amount_minor=amount, method="card", by=make.somebody(), on=ON)


def test_one_filled_button_asks_for_what_comes_next(desk):
    sale = make_sale(where="", paid=10_000)
    assert next_of(desk, sale) == "Write down how it was agreed"
    write_agreed(sale=sale, agreed_where="distance", by=make.somebody())
    assert next_of(desk, sale) == "They were told of the right to cancel"
    write_agreed(sale=sale, agreed_where="distance", informed_on=ON, by=make.somebody())
    assert next_of(desk, sale) == "Plan its delivery"
    plan_delivery(sale=sale, address="9 Quay Row", planned_on=ON + timedelta(days=9), by=make.somebody())
    assert next_of(desk, sale) == "Take a payment"
    pay(sale, 80_000)
    assert next_of(desk, sale) == "Write down the hand-over"
    page = page_of(desk, sale).content.decode()
    assert page.count('class="button"') == 1 and "Seldom needed" in page


def test_delivered_and_paid_it_asks_for_the_invoice_and_then_for_the_care(desk):
    ShopProfile(pk=1, name="Ours", address="1 Mill Lane", tax_scheme="none").save()
    sale = make_delivered_sale(paid=90_000)
    assert next_of(desk, sale) == "Make the invoice"
    issue_invoice(sale=sale, by=make.somebody(), on=ON)
    assert next_of(desk, sale) == "Agree guarantee and tunings"
    agree_care(sale=sale, terms=usual_terms(), by=make.somebody())
    assert next_of(desk, sale) == ""


def test_money_given_back_stands_against_what_was_paid(desk):
    sale = make_sale(paid=40_000)
    end_sale(sale=sale, kind="cancelled", reason="No room", method="card", by=make.somebody(), on=ON)
    page = page_of(desk, sale)
    assert [row.held_minor for row in page.context["money_rows"]] == [40_000, -40_000]
    words = page.content.decode()
    assert "−£400.00" in words and "Still with us" in words and "Refund note RC" in words
    assert next_of(desk, sale) == "Refund note RC26-002 (PDF)"


def test_while_it_stands_what_was_paid_comes_off_the_price(desk):
    sale = make_sale(paid=40_000)
    rows = page_of(desk, sale).context["money_rows"]
    assert [row.to_pay_minor for row in rows] == [-40_000]
    assert sale.price_minor + sum(row.to_pay_minor for row in rows) == 50_000


@pytest.mark.parametrize(
    ("typed", "word"),
    [("899.99", "less than half"), ("3,600.01", "more than twice"), ("18", "less than half")],
)
def test_a_price_far_from_the_one_asked_is_confirmed_by_a_tick(desk, typed, word):
    instrument, person = make.make_instrument(), make.make_person()
    make.make_price(instrument=instrument, amount_minor=180_000)
    address = reverse("shop:sale_record", args=[instrument.stock_number])
    form = {"person": person.pk, "price_minor": typed, "method": "card"}
    answer = desk.post(address, form | {"form_token": uuid4().hex})
    sentence = str(answer.context["form"].errors["price_is_meant"])
    assert f"is {word} the price asked, £1,800.00" in sentence and not Sale.objects.exists()
    assert 'type="checkbox" name="price_is_meant"' in answer.content.decode()
    desk.post(address, form | {"price_is_meant": "on", "form_token": uuid4().hex})
    assert Sale.objects.exists()


@pytest.mark.parametrize("typed", ["900", "1,800", "3,600"])
def test_a_price_near_it_is_not_asked_about(desk, typed):
    instrument, person = make.make_instrument(), make.make_person()
    make.make_price(instrument=instrument, amount_minor=180_000)
    form = {"person": person.pk, "price_minor": typed, "method": "card", "form_token": uuid4().hex}
    desk.post(reverse("shop:sale_record", args=[instrument.stock_number]), form)
    assert Sale.objects.exists()


def test_a_sum_beyond_all_sense_is_refused_beside_its_field(desk):
    instrument, person = make.make_instrument(), make.make_person()
    form = {"person": person.pk, "price_minor": "1000000000000", "method": "card", "form_token": uuid4().hex}
    answer = desk.post(reverse("shop:sale_record", args=[instrument.stock_number]), form)
    assert "too large to be right" in answer.content.decode() and not Sale.objects.exists()


def test_out_of_a_trial_it_says_since_when_they_have_it(desk):
    trial = make.make_running_trial(pay_now_minor=50_000)
    sale = keep_trial(trial=trial, by=make.somebody(), on=trial.starts_on + timedelta(days=9))
    assert "with them since" in page_of(desk, sale).content.decode()


def sold_late(desk, day, **typed):
    instrument = typed.pop("instrument", None) or make.make_instrument()
    form = {"person": make.make_person().pk, "price_minor": "1800", "method": "card"}
    form |= {"sold_on": f"{day}", "pay_now_minor": "200", "form_token": uuid4().hex}
    return desk.post(reverse("shop:sale_record", args=[instrument.stock_number]), form | typed)


def test_a_sale_entered_late_counts_from_the_day_it_was_agreed(desk):
    day = date.today() - timedelta(days=3)
    sold_late(desk, day)
    sale = Sale.objects.get()
    assert (sale.sold_on, sale.promise.payments.get().paid_on, sale.book_lines.get().happened_on) == (
        day,
    ) * 3


def test_it_cannot_be_of_a_day_to_come_nor_before_it_was_free(desk):
    tomorrow, yesterday = date.today() + timedelta(days=1), date.today() - timedelta(days=1)
    answer = sold_late(desk, tomorrow)
    assert "That day has not come yet." in answer.content.decode()
    instrument = make.make_instrument()
    today, ansel = date.today(), make.make_person(name="Ansel Quarrie")
    hold = place_hold(instrument=instrument, person=ansel, until=today, by=make.somebody(), on=today)
    release_hold(promise=hold, by=make.somebody(), on=date.today())
    answer = sold_late(desk, yesterday, instrument=instrument)
    assert "It was promised to Ansel Quarrie until" in str(answer.context["form"].errors["sold_on"])
    assert not Sale.objects.exists()


def test_a_hand_over_before_the_sale_is_refused_beside_its_day_with_the_reason(desk):
    sale = make_sale()
    form = {"handed_over_on": f"{ON - timedelta(days=1)}", "form_token": uuid4().hex}
    answer = desk.post(reverse("shop:sale_hand_over", args=[sale.number]), form)
    assert f"It was sold on {ON:%-d %B %Y}, so they cannot have had it" in str(
        answer.context["form"].errors["handed_over_on"]
    )


def test_once_paid_it_asks_for_no_stages(desk):
    sale = make_sale()
    assert "Agree on stages" in page_of(desk, sale).content.decode()
    pay(sale, sale.price_minor)
    assert "Agree on stages" not in page_of(desk, sale).content.decode()


def test_what_is_held_is_offered_to_whom_it_is_held_for(desk):
    person = make.make_person(name="Annis Holder")
    hold = place_hold(
        instrument=make.make_instrument(), person=person, until=date(2035, 1, 1), by=make.somebody(), on=ON
    )
    address = reverse("shop:sale_record", args=[hold.instrument.stock_number])
    assert desk.get(address).context["form"]["person"].value() == person.pk
    other = make.make_person(name="Wait Elsewhere")
    assert desk.get(f"{address}?person={other.pk}").context["form"]["person"].value() == str(other.pk)
