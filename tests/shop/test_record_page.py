import pytest
from django.apps import apps
from django.urls import reverse

from instruments.actions.findings import record_finding
from instruments.actions.history import save_tracked
from instruments.actions.moves import move_instrument
from instruments.actions.statements import correct_statement
from instruments.models import AppendOnly
from shop.actions.money import add_cost
from shop.written import KINDS
from tests import make

pytestmark = pytest.mark.django_db


def page_of(client, user, instrument, query="") -> str:
    client.force_login(user)
    return client.get(reverse("shop:record_page", args=[instrument.stock_number]) + query).content.decode()


def corrected(instrument, by, **fields):
    for name, value in fields.items():
        setattr(instrument, name, value)
    save_tracked(instrument, by=by, why="Read again under a lamp")
    return instrument


def test_a_corrected_field_stands_there_old_and_new_with_who_and_why(client, owner):
    page = page_of(client, owner, corrected(make.make_instrument(serial="31441"), owner, serial="31447"))
    assert "<del>31441</del>" in page
    assert "<ins>31447</ins>" in page
    assert "Olive Tarn" in page
    assert "Read again under a lamp" in page


def test_choices_dates_and_nothing_are_told_in_words(client, owner):
    instrument = corrected(make.make_instrument(), owner, made="1912~", case_wood="burr_walnut")
    page = page_of(client, owner, instrument)
    assert "<ins>about 1912</ins>" in page
    assert "<ins>Burr walnut</ins>" in page
    assert "<del>nothing</del>" in page


def test_a_person_at_work_is_told_by_name(client, owner, technician):
    item = make.make_item()
    item.assigned_to = technician
    save_tracked(item, by=owner, why="Given to Tobias")
    assert "<ins>Tobias Lind</ins>" in page_of(client, owner, item.order.instrument)


def test_money_is_told_as_money(client, owner):
    trial = make.make_trial()
    trial.price_minor = 190_000
    save_tracked(trial, by=owner, why="Price agreed anew")
    assert "£1,900.00" in page_of(client, owner, trial.instrument)


def test_people_are_kept_from_those_whose_work_does_not_need_them(client, technician):
    instrument = make.make_running_trial(person=make.make_person(name="Canary Customer")).instrument
    page = page_of(client, technician, instrument)
    assert "Canary" not in page
    assert "Trial" not in page


def test_rows_that_are_only_added_stand_among_the_changes_in_the_order_of_time(client, owner):
    instrument = make.make_instrument(stock_number="26-090")
    statement = make.make_statement(instrument=instrument, text="It stood in a school", by=owner)
    make.make_evidence(statement=statement, note="a school's stamp")
    record_finding(instrument=instrument, part="pins", condition="sound", by=owner, on=make.A_DAY)
    make.make_weighing(instrument=instrument)
    move_instrument(instrument=instrument, place="showroom", by=owner, on=make.A_DAY)
    corrected(instrument, owner, model="No. 5")
    page = page_of(client, owner, instrument)
    places = [
        page.index(words)
        for words in (
            "<ins>No. 5</ins>",
            "In the showroom from 21 March 2026",
            "Weigh-off of 21 March 2026",
            "Wrest pins and plank: sound",
            "For it, weakly: a school&#x27;s stamp. On “It stood in a school”",
            "Owned: “It stood in a school”. Told by Canary Seller",
        )
    ]
    assert places == sorted(places)


def test_a_correction_says_what_it_replaces_and_why(client, owner):
    statement = make.make_statement(text="A school had it")
    said = {"text": "Two schools had it", "grade": "told", "told_by": "Edith"}
    correct_statement(statement=statement, reason="Asked again", by=owner, **said)
    page = page_of(client, owner, statement.instrument)
    assert "It replaces “A school had it”. Asked again" in page


def test_sellers_costs_and_payments_are_told_to_those_only_whose_work_needs_them(
    client, owner, technician, seller
):
    trial = make.make_running_trial(person=make.make_person(name="Canary Customer"))
    instrument = trial.instrument
    make.make_statement(instrument=instrument)
    make.make_purchase(instrument=instrument, seller=make.make_person(name="Canary Hand"))
    add_cost(instrument=instrument, kind="transport", amount_minor=9_500, by=owner, on=make.A_DAY)
    for user, seen in (
        (owner, {"Told by Canary Seller", "£200.00 from Canary Hand", "£95.00", "£1,800.00 paid by Canary"}),
        (seller, {"Told by Canary Seller", "£1,800.00 paid by Canary"}),
        (technician, set()),
    ):
        page = page_of(client, user, instrument)
        told = ("Told by Canary Seller", "£200.00 from Canary Hand", "£95.00", "£1,800.00 paid by Canary")
        assert {words for words in told if words in page} == seen
        assert ("Canary" in page) is bool(seen)


def test_a_private_document_is_told_to_those_only_who_may_see_it(client, owner, technician):
    instrument = make.make_instrument()
    make.make_document(instrument=instrument, title="Her letter", seen_by="owner")
    assert "Her letter" in page_of(client, owner, instrument)
    assert "Her letter" not in page_of(client, technician, instrument)


def test_another_instruments_changes_are_not_told(client, owner):
    other = corrected(make.make_instrument(), owner, model="Model Nine")
    assert "Model Nine" not in page_of(client, owner, make.make_instrument())
    assert "Model Nine" in page_of(client, owner, other)


def test_hostile_words_are_printed_and_not_obeyed(client, owner):
    instrument = corrected(make.make_instrument(), owner, model="<script>alert(1)</script>")
    assert "<script>alert" not in page_of(client, owner, instrument)


def test_a_long_history_comes_in_pages(client, owner):
    instrument = make.make_instrument()
    for number in range(51):
        corrected(instrument, owner, model=f"No. {number} of many")
    assert "<ins>No. 0 of many</ins>" not in page_of(client, owner, instrument)
    assert "<ins>No. 0 of many</ins>" in page_of(client, owner, instrument, "?page=2")


def test_a_page_of_many_changes_takes_no_more_queries(client, owner, django_assert_max_num_queries):
    instrument = corrected(make.make_instrument(), owner, model="One")
    page_of(client, owner, instrument)
    address = reverse("shop:record_page", args=[instrument.stock_number])
    with django_assert_max_num_queries(14) as before:
        client.get(address)
    for number in range(8):
        corrected(instrument, owner, model=f"Next {number}")
    with django_assert_max_num_queries(14) as after:
        client.get(address)
    assert len(after) <= len(before)


# Told with the row they belong to, or of no one instrument.
TOLD_ELSEWHERE = {
    *("BenchHours", "BenchRate", "BookPeriod", "ChainLink", "DaysAway", "DaysAwayTakenBack", "HousePitch"),
    *("GateWaiver", "ItemFinding", "ItemKeyMark", "KeyReading"),
    *("MeasuredValue", "PinReading", "PitchReading", "StockMovement", "TaxRate", "TermsVersion"),
    *("WeighingClosing", "WireReading"),
    *("Erasure", "LinkSending", "PersonExport", "PlanStage", "Receipt", "Removal"),
    *("EnquirySending", "ReminderAttempt", "ReminderResult"),
    "CreditTerms",
    "LogLine",
    "LogSeal",
    "Wish",
}


def test_every_row_that_is_only_added_is_told_in_the_record():
    added = {model.__name__ for model in apps.get_models() if issubclass(model, AppendOnly)}
    assert (
        added
        == {kind.model.__name__ for kind in KINDS if issubclass(kind.model, AppendOnly)} | TOLD_ELSEWHERE
    )
