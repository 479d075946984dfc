"""The pages of a home trial, as sales press through them."""

import re
from datetime import UTC, datetime, time
from pathlib import Path
from uuid import uuid4

import pytest
from django.utils.html import escape

from instruments.documents import fingerprint
from instruments.documents.fingerprint import content_hash
from instruments.problems import Refused
from shop.actions import signatures
from shop.actions.agreements import agreement_words, keep_agreement, terms_of
from shop.actions.ledger import credit_of, still_to_pay
from shop.actions.papers import stored_paper
from shop.actions.trials import revise_trial, start_trial
from shop.models import Payment, Promise, Sale, Trial
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def on_the_day(time_machine):
    time_machine.move_to(datetime.combine(make.A_DAY, time(10), UTC), tick=False)


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def post(client, url, follow=False, **fields):
    return client.post(url, {"form_token": uuid4().hex} | fields, follow=follow)


TERMS = {
    "new_name": "Wilf Arden",
    "new_address": "4 Salt Lane\nPenhallow",
    "price_minor": "1,800",
    "pay_now_minor": "900",
    "credit_percent": "100",
    "starts_on": "2026-03-21",
    "ends_on": "2026-05-02",
    "address": "4 Salt Lane",
}


def test_a_drafted_trial_names_a_new_person_and_promises_nothing(desk):
    instrument = make.make_instrument()
    post(desk, f"/stock/{instrument.stock_number}/trial/", **TERMS)
    trial = Trial.objects.get()
    assert (trial.person.name, trial.price_minor, trial.state) == ("Wilf Arden", 180_000, "draft")
    assert not Promise.objects.exists()


def test_a_trial_without_an_end_is_refused_beside_the_field_and_keeps_what_was_typed(desk):
    instrument = make.make_instrument()
    page = post(desk, f"/stock/{instrument.stock_number}/trial/", **(TERMS | {"ends_on": ""}))
    assert page.context["form"].errors["ends_on"] == ["This field is required."]
    assert "4 Salt Lane" in page.content.decode()
    assert not Trial.objects.exists()


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("price_minor", "lots", "“lots” is not an amount: write it like 1,250 or 1250.50."),
        ("pay_now_minor", "1,801", "That is more than the price, £1,800.00."),
        ("ends_on", "2026-03-21", "The end must come after the start."),
        ("starts_on", "soon", "Give a day, such as 21/03/2026."),
        ("credit_percent", "101", "Ensure this value is less than or equal to 100."),
    ],
)
def test_bad_terms_get_a_sentence_beside_the_field(desk, field, typed, sentence):
    instrument = make.make_instrument()
    page = post(desk, f"/stock/{instrument.stock_number}/trial/", **(TERMS | {field: typed}))
    assert page.context["form"].errors[field] == [sentence]


LATE = {"starts_on": "2026-03-14", "ends_on": "2026-04-25"}


def test_a_first_day_that_has_passed_is_asked_about_beside_its_field_alone(desk):
    address = f"/stock/{make.make_instrument().stock_number}/trial/"
    errors = post(desk, address, **(TERMS | LATE)).context["form"].errors
    said = "14 March 2026 has passed. Give today or a day to come, or tick below that it went out already."
    assert errors == {"starts_on": [said]}
    typo = post(desk, address, **(TERMS | {"starts_on": "2025-03-21"})).context["form"].errors
    assert list(typo) == ["starts_on"]
    assert not Trial.objects.exists()


def test_a_trial_entered_late_is_kept_and_its_history_says_so(desk):
    address = f"/stock/{make.make_instrument().stock_number}/trial/"
    post(desk, address, **(TERMS | LATE), is_entered_late="on")
    trial = Trial.objects.get()
    assert trial.history.first().history_change_reason.endswith("entered late, after its first day")
    page = desk.get(f"/trials/{trial.number}/start/").content.decode()
    assert "Its first day, 14 March 2026, has passed: its days count from then." in page


def test_a_tick_for_a_day_to_come_says_nothing_in_the_history(desk):
    post(desk, f"/stock/{make.make_instrument().stock_number}/trial/", **TERMS, is_entered_late="on")
    assert "late" not in Trial.objects.get().history.first().history_change_reason


def test_a_last_day_that_has_passed_is_refused_however_late_it_is_entered(desk):
    address = f"/stock/{make.make_instrument().stock_number}/trial/"
    over = {"starts_on": "2026-02-01", "ends_on": "2026-03-20", "is_entered_late": "on"}
    errors = post(desk, address, **(TERMS | over)).context["form"].errors
    assert errors == {"ends_on": ["That day has passed, or is today. Give a day to come."]}


def test_a_trial_of_three_months_is_refused_with_the_reason(desk):
    instrument = make.make_instrument()
    page = post(desk, f"/stock/{instrument.stock_number}/trial/", **(TERMS | {"ends_on": "2026-06-21"}))
    assert "regulated hire" in page.context["form"].errors["ends_on"][0]


def test_the_same_draft_sent_twice_makes_one_trial(desk):
    instrument = make.make_instrument()
    fields = TERMS | {"form_token": "a" * 32}
    first = post(desk, f"/stock/{instrument.stock_number}/trial/", **fields)
    second = post(desk, f"/stock/{instrument.stock_number}/trial/", **fields)
    assert (first.url, Trial.objects.count()) == (second.url, 1)


def test_starting_a_trial_takes_the_money_and_keeps_the_agreement(desk):
    trial = make.make_trial(pay_now_minor=90_000)
    page = post(desk, f"/trials/{trial.number}/start/", method="card", follow=True)
    assert "Print the agreement" in page.content.decode()
    assert Payment.objects.get().amount_minor == 90_000
    assert trial.papers.count() == 1


def test_starting_a_trial_of_a_promised_instrument_says_who_has_it(desk):
    running = make.make_running_trial(person=make.make_person(name="Nell Sorrel"))
    trial = make.make_trial(instrument=running.instrument)
    page = post(desk, f"/trials/{trial.number}/start/", method="card")
    assert "It is promised to Nell Sorrel." in page.context["form"].non_field_errors()[0]


def test_an_exchange_says_what_is_still_to_pay(desk):
    trial, other = make.make_running_trial(), make.make_instrument(maker="Castlemere")
    make.make_price(instrument=other, amount_minor=240_000)
    page = post(desk, f"/trials/{trial.number}/exchange/", other=other.pk, follow=True)
    assert "£600.00 is still to pay." in page.content.decode()
    assert still_to_pay(Sale.objects.get().promise) == 60_000


def test_an_exchange_for_a_cheaper_one_says_what_is_left_in_credit(desk):
    trial, other = make.make_running_trial(), make.make_instrument(maker="Castlemere")
    page = post(
        desk, f"/trials/{trial.number}/exchange/", other=other.pk, other_price_minor="1,200", follow=True
    )
    assert "Left in credit: £600.00." in page.content.decode()
    assert credit_of(trial.person) == 60_000


def test_an_exchange_for_one_without_a_price_asks_for_it(desk):
    trial, other = make.make_running_trial(), make.make_instrument(maker="Castlemere")
    page = post(desk, f"/trials/{trial.number}/exchange/", other=other.pk)
    assert page.context["form"].errors["other_price_minor"] == [
        "No price is set for that one; agree one here."
    ]


def test_a_promised_instrument_cannot_be_chosen_for_an_exchange(desk):
    trial, other = make.make_running_trial(), make.make_running_trial(person=make.make_person(name="Nell"))
    page = post(desk, f"/trials/{trial.number}/exchange/", other=other.instrument.pk)
    assert "other" in page.context["form"].errors


def lines_of(page) -> list[tuple[str, int]]:
    return [(line.label, line.amount_minor) for line in page.context["lines"]]


def test_an_exchange_is_reckoned_before_it_is_done(desk):
    trial, other = make.make_running_trial(credit_percent=90), make.make_instrument(maker="Castlemere")
    make.make_price(instrument=other, amount_minor=240_000)
    page = post(desk, f"/trials/{trial.number}/exchange/", other=other.pk, show="yes")
    assert lines_of(page) == [
        (f"Price of {other.stock_number} Castlemere", 240_000),
        (f"Paid on {trial.number}, as far as it counts", -162_000),
        ("Still to pay", 78_000),
    ]
    assert not Sale.objects.exists()


def test_what_an_exchange_leaves_in_credit_is_what_the_exchange_then_leaves(desk):
    trial, other = make.make_running_trial(), make.make_instrument(maker="Castlemere")
    fields = {"other": other.pk, "other_price_minor": "1,200"}
    shown = lines_of(post(desk, f"/trials/{trial.number}/exchange/", show="yes", **fields))
    post(desk, f"/trials/{trial.number}/exchange/", **fields)
    assert shown[-1] == ("Left in credit", credit_of(trial.person)) == ("Left in credit", 60_000)


def test_the_sum_alone_answers_the_script(desk):
    trial, other = make.make_running_trial(), make.make_instrument()
    answer = desk.post(
        f"/trials/{trial.number}/exchange/",
        {"other": other.pk, "other_price_minor": "2,000", "show": "yes"},
        headers={"HX-Request": "true"},
    )
    assert "£200.00" in answer.content.decode() and "<form" not in answer.content.decode()


def test_a_return_is_reckoned_before_it_is_done(desk):
    trial = make.make_running_trial()
    url = f"/trials/{trial.number}/return/"
    assert lines_of(desk.get(url)) == [(f"Paid on {trial.number}", 180_000), ("Given back", 180_000)]
    page = post(desk, url, deduction_minor="20", give_back="credit", method="cash", show="yes")
    assert lines_of(page)[1:] == [("Deducted", -2_000), ("Left in credit", 178_000)]
    assert trial.promise.payments.count() == 1


def test_a_deduction_beyond_what_was_paid_is_refused_where_it_is_reckoned(desk):
    trial = make.make_running_trial()
    page = post(
        desk, f"/trials/{trial.number}/return/", deduction_minor="2,000", give_back="credit", show="y"
    )
    assert "The deduction is more than was paid: £1,800.00 can be deducted at most." in page.content.decode()


@pytest.mark.parametrize("ending", ["keep", "exchange", "return"])
def test_a_trial_that_is_not_out_has_no_page_to_end_it(desk, ending):
    trial = make.make_trial()
    answer = desk.get(f"/trials/{trial.number}/{ending}/", follow=True)
    assert answer.redirect_chain == [(trial.get_absolute_url(), 302)]
    assert "is not out" in answer.content.decode()


def test_a_deduction_beyond_what_was_paid_is_refused_once_when_it_is_sent(desk):
    trial = make.make_running_trial(pay_now_minor=5_000)
    ending = {"deduction_minor": "100", "give_back": "refund", "method": "cash", "note": "A scratch"}
    ending["agreed_how"] = "signed"
    page = post(desk, f"/trials/{trial.number}/return/", **ending)
    said = ["The deduction is more than was paid: £50.00 can be deducted at most."]
    assert page.context["form"].errors == {"deduction_minor": said}


def test_a_deduction_needs_a_reason(desk):
    trial = make.make_running_trial()
    page = post(
        desk, f"/trials/{trial.number}/return/", deduction_minor="20", give_back="refund", method="card"
    )
    assert page.context["form"].errors["note"] == ["Say what the deduction is for."]


def test_a_return_gives_the_money_back(desk):
    trial = make.make_running_trial()
    post(desk, f"/trials/{trial.number}/return/", give_back="refund", method="transfer")
    assert [payment.amount_minor for payment in Payment.objects.all()] == [180_000, -180_000]


def test_a_payment_beyond_what_is_due_is_refused_on_the_form(desk):
    trial = make.make_running_trial(pay_now_minor=100_000)
    page = post(desk, f"/promises/{trial.promise.pk}/payment/", amount_minor="900", method="cash")
    said = ["That is more than is still to pay: £800.00."]
    assert page.context["form"].errors == {"amount_minor": said}


def test_an_instrument_out_on_trial_says_so_on_its_page(desk):
    trial = make.make_running_trial()
    page = desk.get(trial.instrument.get_absolute_url()).content.decode()
    assert re.search(r"Home trial for .*Wilf Arden.* until 2 May 2026", page)


def kept_files(media_root) -> list[str]:
    return [path.name for path in media_root.glob("papers/*")]


def test_a_start_that_is_refused_leaves_no_paper_behind(desk, media_root):
    trial = make.make_trial(instrument=make.make_instrument(natural_covering="ivory"))
    answer = post(desk, f"/trials/{trial.number}/start/", method="cash")
    assert "registered as exempt" in answer.content.decode()
    assert kept_files(media_root) == []


def test_a_start_keeps_the_agreement_it_printed(desk, media_root):
    trial = make.make_trial()
    post(desk, f"/trials/{trial.number}/start/", method="cash")
    assert kept_files(media_root) == [Path(trial.papers.get().file.name).name]


def test_an_agreement_whose_file_has_gone_is_not_found(desk):
    trial = make.make_trial()
    post(desk, f"/trials/{trial.number}/start/", method="cash")
    gone(trial.papers.get().file)
    assert desk.get(f"/trials/{trial.number}/agreement.pdf").status_code == 404


def test_a_draft_is_printed_without_the_photograph_whose_file_has_gone(desk):
    instrument = make.make_instrument()
    gone(make.make_photo(instrument=instrument).print)
    trial = make.make_trial(instrument=instrument)
    assert desk.get(f"/trials/{trial.number}/agreement.pdf").content.startswith(b"%PDF-")


def gone(kept) -> None:
    kept.storage.delete(kept.name)


def test_the_agreement_is_kept_without_looking_at_its_pictures_again(monkeypatch):
    trial = make.make_running_trial()
    words = agreement_words(trial, on=make.A_DAY)
    names = {"customer": signatures.typed("Wilf Arden"), "shop": signatures.typed("Hazel Finch")}
    words = signatures.signed_agreement(words, read_hash=content_hash(words), **names)
    agreed = {"terms": terms_of(trial), "agreement": words, "agreed_hash": content_hash(words)}
    monkeypatch.delattr(fingerprint, "_plain")  # which reads them
    with stored_paper(trial.number, b"%PDF-") as stored:
        paper = keep_agreement(trial=trial, stored=stored, by=make.somebody(), **agreed)
    hashes = {paper.facts["content_hash"], *paper.signatures.values_list("content_hash", flat=True)}
    assert hashes == {agreed["agreed_hash"]}


def test_a_delivery_agreed_otherwise_meanwhile_stops_the_start():
    trial = make.make_trial()
    terms = terms_of(trial)
    revise = {name: getattr(trial, name) for name in ("starts_on", "ends_on")}
    given = {"by": make.somebody(), "on": make.A_DAY}
    revised = revise_trial(trial=trial, delivery_note="Third floor", **given, **revise)
    with stored_paper(trial.number, b"%PDF-") as stored, pytest.raises(Refused, match="changed a moment ago"):
        words = agreement_words(trial, on=make.A_DAY)
        agreed = {"terms": terms, "agreement": words, "agreed_hash": content_hash(words)}
        keep_agreement(trial=revised, stored=stored, by=make.somebody(), **agreed)


def test_a_trial_of_what_nobody_examined_is_cautioned(client, seller):
    trial = make.make_trial()
    client.force_login(seller)
    page = client.get(trial.get_absolute_url()).content.decode()
    assert "Nothing has been written down of its condition" in page


def test_two_who_have_not_drawn_are_told_apart(desk):
    trial = make.make_trial()
    page = post(desk, f"/trials/{trial.number}/start/", way="screen", customer_name="Wilf", method="card")
    errors = page.context["form"].errors
    assert errors["customer_drawing"][0].startswith("The customer has not signed.")
    assert errors["shop_drawing"][0].startswith("The shop has not signed.")


def test_the_address_of_their_card_is_taken_by_a_tick_and_another_one_stands(desk):
    wilf = make.make_person(address="4 Salt Lane\nPenhallow")
    terms = {name: words for name, words in TERMS.items() if not name.startswith("new_")} | {
        "person": wilf.pk
    }
    for typed, kept in (("", "4 Salt Lane\nPenhallow"), ("7 Quay Row", "7 Quay Row")):
        url = f"/stock/{make.make_instrument().stock_number}/trial/"
        page = post(desk, url, True, **(terms | {"address": typed, "at_their_address": "on"}))
        trial = Trial.objects.first()
        assert trial.address.splitlines() == kept.splitlines()
        assert f"{trial.number} is drafted" in page.content.decode()
        assert "Next: ask about the way in." in page.content.decode()
    page = post(desk, url, **(terms | {"address": ""}))
    assert page.context["form"].errors["address"] == [
        "Give the address where it will stand, or tick that of their card."
    ]


def test_what_came_across_from_the_trial_before_stands_among_the_money(desk):
    first = make.make_running_trial(pay_now_minor=40_000)
    following = make.make_trial(person=first.person, exchanged_from=first, pay_now_minor=60_000)
    started = start_trial(trial=following, method="card", by=make.somebody(), on=make.A_DAY)
    page = " ".join(desk.get(started.get_absolute_url()).content.decode().split())
    assert escape(f"From trial {first.number}, what was paid toward {first.instrument}") in page
    assert '<td class="money">£400.00</td>' in page
    assert '<td class="money">£200.00</td>' in page
    assert "To be paid at the start" not in page
