"""A receipt for every payment and every refund: one each, numbered without a gap, printed once and kept."""

import re
from importlib import import_module
from pathlib import Path
from uuid import uuid4

import pytest
from django.apps import apps
from django.db import IntegrityError, transaction
from django.urls import reverse

from instruments.models import NumberSeries
from shop.actions.deductions import Agreed
from shop.actions.holds import give_back_later
from shop.actions.ledger import pay_out_credit, take_for_delivery, take_payment
from shop.actions.promises import place_hold
from shop.actions.receipts import issue_receipt
from shop.actions.sale_endings import cancel_sale
from shop.actions.sales import sell
from shop.actions.trials import return_trial
from shop.actions.work_money import refund_for_work, take_for_work
from shop.models import Paper, Payment, Receipt, ShopProfile
from shop.refund_lines import refunded_lines
from tests import make
from tests.make_commission import make_approval, make_quote
from tests.reading import Reading, printed
from tests.shop.test_promise_race import all_at_once
from tests.shop.test_verify import faults, rewrite, verify

pytestmark = pytest.mark.django_db

ON = make.A_DAY
GIVEN = {"method": "card", "on": ON}


def text_of(payment: Payment) -> str:
    with issue_receipt(receipt=payment.receipt, by=make.somebody()).file.open("rb") as kept:
        return Reading(kept.read()).text


def numbers() -> list[str]:
    return list(Receipt.objects.values_list("number", flat=True))


def paid_for_work() -> Payment:
    quote = make_quote()
    make_approval(quote=quote)
    return take_for_work(commission=quote.commission, amount_minor=5_000, by=make.somebody(), **GIVEN)


@pytest.mark.both
def test_each_way_of_paying_and_giving_back_has_one_receipt_in_one_series():
    by = make.somebody()
    trial = make.make_running_trial(pay_now_minor=50_000, delivery_minor=9_500)
    take_payment(promise=trial.promise, amount_minor=10_000, by=by, **GIVEN)
    return_trial(trial=trial, give_back="credit", by=by, on=ON)
    pay_out_credit(person=trial.person, amount_minor=60_000, by=by, **GIVEN)
    work = paid_for_work()
    refund_for_work(commission=work.commission, amount_minor=2_000, by=by, **GIVEN)
    assert numbers() == [f"RC26-{number:03d}" for number in range(1, 7)]
    assert [each.receipt.number for each in Payment.objects.all()] == numbers()


def test_a_payment_that_is_refused_takes_no_number():
    trial = make.make_running_trial(pay_now_minor=50_000)
    with pytest.raises(IntegrityError), transaction.atomic():
        take_payment(promise=trial.promise, amount_minor=100, method="card", by=make.somebody(), on=None)
    take_payment(promise=trial.promise, amount_minor=100, by=make.somebody(), **GIVEN)
    assert numbers() == ["RC26-001", "RC26-002"]


def test_a_payment_has_no_second_receipt():
    payment = make.make_running_trial().promise.payments.get()
    with pytest.raises(IntegrityError), transaction.atomic():
        Receipt.objects.create(number="RC26-900", payment=payment)


def test_nothing_in_the_program_enters_a_payment_past_its_receipt():
    entering = re.compile(r"\bPayment(?:\.objects\.(?:create|bulk_create|get_or_create))?\(")
    found = {
        source.name
        for source in Path("shop").rglob("*.py")
        if "migrations" not in source.parts
        and any(
            entering.search(line) and not line.startswith("class ")
            for line in source.read_text(encoding="utf-8").splitlines()
        )
    }
    assert found == {"payments.py"}


def test_it_says_who_paid_what_how_toward_what_and_what_stood_before_and_after():
    ShopProfile(pk=1, name="Larkrow Pianos", address="3 Larkrow", vat_number="GB 000 0000 00").save()
    person = make.make_person(name="Hester Blount", address="9 Quay Row")
    trial = make.make_running_trial(person=person, pay_now_minor=50_000)
    second = take_payment(
        promise=trial.promise, amount_minor=30_000, reference="slip 7", by=make.somebody(), **GIVEN
    )
    text = text_of(second)
    said = ("Larkrow Pianos", "Hester Blount", "9 Quay Row", "£300.00", "Card, slip 7", trial.number)
    assert all(words in text for words in said)
    assert trial.instrument.stock_number in text and "GB 000 0000 00" in text
    assert "no VAT invoice" in text
    for label, amount in (
        ("Paid toward it before", "£500.00"),
        ("Still to pay before", "£1,300.00"),
        ("Still to pay after this", "£1,000.00"),
    ):
        assert amount in text[text.index(label) :][: len(label) + 20]


def test_printed_late_it_tells_of_its_own_day():
    """What came after a payment is none of its receipt's business."""
    by, person = make.somebody(), make.make_person()
    held = place_hold(
        instrument=make.make_instrument(), person=person, until=ON, deposit_minor=20_000, by=by, **GIVEN
    )
    sale = sell(
        instrument=held.instrument,
        person=person,
        price_minor=100_000,
        credit_minor=20_000,
        pay_now_minor=30_000,
        by=by,
        **GIVEN,
    )
    first = sale.promise.payments.get()
    take_payment(promise=sale.promise, amount_minor=50_000, by=by, **GIVEN)
    text = text_of(first)
    assert "£800.00" in text and "£500.00" in text  # still to pay before and after, the credit counted
    assert "counts toward the price" in text_of(held.payments.get())


def test_a_receipt_for_money_given_back_says_what_it_refunds():
    by, trial = make.somebody(), make.make_running_trial(pay_now_minor=50_000)
    scratch = Agreed("damage", "A scratch", 5_000, "signed", ON)
    return_trial(trial=trial, deduction=scratch, give_back="refund", method="cash", by=by, on=ON)
    text = text_of(Payment.objects.last())
    assert "Refund note" in text and "£450.00" in text
    assert "This is a refund note and no VAT invoice" in " ".join(text.split())
    told = " ".join(text.split())
    assert "Of receipt RC26-001 of 21 March 2026 £500.00 by bank transfer £450.00" in told
    assert "With us after this £50.00 Kept: Damage: A scratch agreed 21 March 2026, signed" in told


def test_a_refund_of_two_payments_names_each_with_its_share():
    by, trial = make.somebody(), make.make_running_trial(pay_now_minor=50_000)
    take_payment(promise=trial.promise, amount_minor=20_000, by=by, **GIVEN)
    scratch = Agreed("damage", "A scratch", 5_000, "signed", ON)
    return_trial(trial=trial, deduction=scratch, give_back="refund", method="cash", by=by, on=ON)
    shares = [(line.label, line.amount) for line in refunded_lines(trial.promise.payments.last())]
    assert shares == [
        ("Of receipt RC26-001 of 21 March 2026", "£500.00"),
        ("Of receipt RC26-002 of 21 March 2026", "£150.00"),
    ]
    later = {"promise": trial.promise, "amount_minor": 3_000, "reason": "It polished out", "method": "cash"}
    again = give_back_later(**later, by=by, on=ON)
    assert [line.amount for line in refunded_lines(again)] == ["£30.00"]
    assert "It polished out" in text_of(again) and "Kept: Damage" not in text_of(again)


def test_the_refund_of_a_sale_names_the_deposit_that_became_part_of_it():
    by, person = make.somebody(), make.make_person()
    piano = make.make_instrument()
    place_hold(instrument=piano, person=person, until=ON, deposit_minor=20_000, by=by, **GIVEN)
    sold = {"instrument": piano, "person": person, "price_minor": 100_000, "by": by}
    sale = sell(**sold, pay_now_minor=30_000, **GIVEN)
    kept = {"deduction_minor": 4_000, "deduction_for": "a chipped covering, agreed"}
    cancel_sale(sale=sale, reason="They moved", method="card", **kept, by=by, on=ON)
    refund = Payment.objects.last()
    assert [line.amount for line in refunded_lines(refund)] == ["£200.00", "£260.00"]
    assert "Kept: a chipped covering, agreed £40.00" in " ".join(text_of(refund).split())


def test_credit_paid_out_says_what_is_left_in_credit():
    by, trial = make.somebody(), make.make_running_trial(pay_now_minor=50_000)
    return_trial(trial=trial, give_back="credit", by=by, on=ON)
    text = text_of(pay_out_credit(person=trial.person, amount_minor=20_000, by=by, **GIVEN))
    assert "In your credit before" in text and "£500.00" in text
    assert "In your credit after this" in text and "£300.00" in text


def test_a_fee_shows_the_vat_in_it_and_never_counts():
    trial = make.make_running_trial()
    fee = take_for_delivery(promise=trial.promise, amount_minor=9_500, by=make.somebody(), **GIVEN)
    text = text_of(fee)
    assert "of which VAT at 20 %" in text and "£15.83" in text  # 95.00 / 6, half up
    assert "nothing of it counts" in text and "Still to pay" not in text


def test_work_says_what_of_it_is_still_to_pay():
    work = paid_for_work()
    agreed = work.receipt.agreed_minor
    text = text_of(work)
    assert "Paid for the work before" in text and work.commission.number in text
    assert f"£{(agreed - 5_000) / 100:,.2f}" in text


def test_a_shop_that_is_not_registered_says_so():
    ShopProfile(pk=1, tax_scheme="none", vat_number="GB 000 0000 00").save()
    text = text_of(make.make_running_trial().promise.payments.get())
    assert "not registered for VAT" in text and "GB 000" not in text


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def test_it_is_printed_once_and_kept_byte_for_byte(desk):
    trial = make.make_running_trial()
    address = trial.promise.payments.get().receipt.get_absolute_url()
    first = printed(desk, address)
    ShopProfile(pk=1, name="Another name").save()
    again = desk.get(address)
    assert first.status_code == 200 and first["Content-Type"] == "application/pdf"
    assert first.content == again.content
    paper = Paper.objects.get(kind="receipt")
    assert (paper.number, paper.instrument) == ("RC26-001", trial.instrument)
    assert desk.get(reverse("shop:receipt_print", args=["RC26-999"])).status_code == 404


def test_it_is_reached_from_where_the_money_is_told(desk):
    by, trial = make.somebody(), make.make_running_trial(pay_now_minor=50_000)
    sale = sell(
        instrument=make.make_instrument(),
        person=trial.person,
        price_minor=90_000,
        pay_now_minor=1_000,
        by=by,
        **GIVEN,
    )
    work = paid_for_work()
    for page, payment in (
        (trial.get_absolute_url(), trial.promise.payments.get()),
        (sale.get_absolute_url(), sale.promise.payments.get()),
        (work.commission.get_absolute_url(), work),
        (trial.person.get_absolute_url(), trial.promise.payments.get()),
        (reverse("shop:person_statement", args=[trial.person.pk]), sale.promise.payments.get()),
    ):
        assert payment.receipt.get_absolute_url() in desk.get(page).content.decode()


def test_the_printed_statement_names_each_receipt(desk):
    trial = make.make_running_trial()
    pdf = desk.get(reverse("shop:person_statement_print", args=[trial.person.pk])).content
    assert "RC26-001" in Reading(pdf).text


def test_a_changed_file_and_a_missing_receipt_are_told():
    trial = make.make_running_trial(pay_now_minor=50_000)
    take_payment(promise=trial.promise, amount_minor=10_000, by=make.somebody(), **GIVEN)
    paper = issue_receipt(receipt=trial.promise.payments.first().receipt, by=make.somebody())
    assert "receipt: 2" in verify()
    Path(paper.file.path).write_bytes(b"%PDF-another")
    rewrite("DELETE FROM shop_receipt WHERE number = 'RC26-002'")
    told = faults()
    assert "not the one that was kept" in told
    assert "it has no receipt" in told and "2 numbers were given out, 1 are there" in told


@pytest.mark.both
def test_payments_from_before_get_theirs_in_the_order_they_were_written():
    by, trial = make.somebody(), make.make_running_trial(pay_now_minor=50_000)
    return_trial(trial=trial, give_back="credit", by=by, on=ON)
    pay_out_credit(person=trial.person, amount_minor=50_000, by=by, **GIVEN)
    paid_for_work()
    before = list(Receipt.objects.values_list("number", "payment", "agreed_minor", "pays_out"))
    rewrite("DELETE FROM shop_receipt")
    NumberSeries.objects.filter(series="receipt").delete()
    import_module("shop.migrations.0017_receipts_of_earlier_payments").give_receipts(apps, None)
    after = list(Receipt.objects.values_list("number", "payment", "agreed_minor", "pays_out"))
    assert after == before and len(after) == 3
    assert NumberSeries.objects.get(series="receipt").last == 3


@pytest.mark.parametrize("way", ["payment", "refund", "credit"])
def test_pressed_twice_and_sent_again_there_is_one_payment_and_one_receipt(desk, way):
    trial, by = make.make_running_trial(pay_now_minor=50_000), make.somebody()
    if way == "credit":
        return_trial(trial=trial, give_back="credit", by=by, on=ON)
    address, form = {
        "payment": (reverse("shop:payment_take", args=[trial.promise.pk]), {"amount_minor": "100"}),
        "refund": (reverse("shop:trial_return", args=[trial.number]), {"give_back": "refund"}),
        "credit": (reverse("shop:credit_pay_out", args=[trial.person.pk]), {"amount_minor": "100"}),
    }[way]
    form |= {"method": "cash", "form_token": uuid4().hex}
    answers = [desk.post(address, form).status_code for _ in range(3)]
    assert all(answer < 500 for answer in answers)
    assert Payment.objects.count() == 2 and numbers() == ["RC26-001", "RC26-002"]


@pytest.mark.django_db(transaction=True)
def test_acts_at_the_same_moment_leave_no_gap_and_never_wait_for_each_other():
    """A sale numbers its line of the books before its receipt, a fee after it."""
    by, acts = make.somebody(), []
    for number in range(8):
        person, other = make.make_person(name=f"Buyer {number}"), make.make_person(name=f"Hirer {number}")
        piano = make.make_instrument()
        trial = make.make_trial(person=other, delivery_minor=9_500)
        acts.append(
            lambda piano=piano, person=person: sell(
                instrument=piano, person=person, price_minor=90_000, pay_now_minor=1_000, by=by, **GIVEN
            )
        )
        acts.append(lambda trial=trial: make.start_trial(trial=trial, method="card", by=by, on=ON))
    all_at_once(acts)
    assert Receipt.objects.count() == Payment.objects.count() == 24
    assert sorted(numbers()) == [f"RC26-{number:03d}" for number in range(1, 25)]
