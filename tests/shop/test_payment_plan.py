"""Stages of payment for a sale: agreed, changed as a new version, reached, due and late by the ledger."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from instruments.problems import Refused
from shop.actions.ledger import take_payment
from shop.actions.payment_plans import agree_plan, reach_stage
from shop.actions.sale_endings import cancel_sale
from shop.actions.sale_notices import give_notice
from shop.actions.sales import sell
from shop.books import owed_to_us
from shop.models import PaymentPlan, PlanStage, Sale, StageReached
from shop.payment_plans import owed_late, plan_of, plans_of
from shop.statements import statement_of
from shop.waiting_sales import to_be_delivered, to_be_given_back
from tests import make

pytestmark = pytest.mark.django_db

ON = make.A_DAY
LATER = ON + timedelta(days=30)
REGULATED = "when the action is regulated"


def sale_of(paid=30_000, *, name="Hester Blount") -> Sale:
    return sell(
        instrument=make.make_instrument(),
        person=make.make_person(name=name),
        price_minor=180_000,
        pay_now_minor=paid,
        method="card",
        by=make.somebody(),
        on=ON,
    )


def stage(words, amount, *, due_on=None, event="") -> dict:
    return {"words": words, "amount_minor": amount, "due_on": due_on, "event": event}


def stages() -> list[dict]:
    return [
        stage("Deposit", 30_000, due_on=ON),
        stage("Second payment", 70_000, event=REGULATED),
        stage("Balance", 80_000, due_on=LATER),
    ]


def agree(sale, rows=None, **more) -> PaymentPlan:
    given = {"agreed_on": ON, "written": "Her order form", "by": make.somebody(), "on": ON} | more
    return agree_plan(sale=sale, stages=rows or stages(), **given)


def happened(plan, **more):
    given = {"reached_on": ON, "shown_by": "The work is closed", "by": make.somebody(), "on": LATER} | more
    return reach_stage(stage=plan.stages.get(event=REGULATED), **given)


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def typed(sale, *rows, version=1, **more) -> dict:
    form = {"form_token": uuid4().hex, "version": version, "agreed_on": f"{ON}", "written": "A letter"} | more
    for line, (words, amount, due, event) in enumerate(rows, start=1):
        form |= {f"words_{line}": words, f"amount_minor_{line}": amount, f"due_on_{line}": due}
        form |= {f"event_{line}": event}
    return form


WHOLE = (("Deposit", "300", "2026-03-21", ""), ("Balance", "1,500", "", "when it is delivered"))


@pytest.mark.both
def test_payments_fall_to_the_stages_in_their_order():
    sale = sale_of(30_000)
    agree(sale)
    take_payment(promise=sale.promise, amount_minor=20_000, method="card", by=make.somebody(), on=ON)
    standing = plan_of(sale, on=LATER + timedelta(days=1))
    assert [row.stands.paid_minor for row in standing.rows] == [30_000, 20_000, 0]
    assert [row.state for row in standing.rows] == ["paid", "not due yet", "late"]
    assert (standing.due_minor, standing.late_minor) == (80_000, 80_000)


def test_what_a_stage_waits_for_makes_it_due_from_that_day():
    sale = sale_of()
    plan = agree(sale)
    happened(plan)
    standing = plan_of(sale, on=ON)
    assert standing.rows[1].state == "due today" and standing.due_minor == 70_000
    assert plan_of(sale, on=ON + timedelta(days=1)).late_since == ON


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([stage("All", 180_001, due_on=ON)], r"£0\.01 more than the price"),
        ([stage("All", 179_000, due_on=ON)], r"£10\.00 less than the price"),
    ],
)
def test_stages_that_are_not_the_price_are_refused(rows, sentence):
    with pytest.raises(Refused, match=sentence):
        agree(sale_of(), rows)
    assert not PaymentPlan.objects.exists() and not PlanStage.objects.exists()


def test_a_change_is_a_new_version_with_its_reason_and_keeps_what_has_happened():
    sale = sale_of()
    happened(agree(sale))
    with pytest.raises(Refused, match="why the plan is changed"):
        agree(sale)
    rows = [stage("Deposit", 30_000, due_on=ON), stage("The rest", 150_000, event=REGULATED.upper())]
    agree(sale, rows, why="She asked for two stages")
    standing = plan_of(sale, on=ON)
    assert standing.plan.version == 2 and len(standing.rows) == 2
    assert standing.rows[1].stands.due_on == ON
    assert [plan.version for plan in sale.payment_plans.all()] == [2, 1]


def test_who_looked_at_an_older_version_is_told():
    sale = sale_of()
    agree(sale, version=1)
    with pytest.raises(Refused, match="a moment ago"):
        agree(sale, version=1, why="Again")


def test_the_plan_of_a_sale_that_has_ended_is_not_changed(desk):
    sale = sale_of()
    cancel_sale(sale=sale, reason="Moved away", method="card", by=make.somebody(), on=ON)
    with pytest.raises(Refused, match="does not stand"):
        agree(sale)
    assert desk.get(reverse("shop:sale_plan", args=[sale.number])).status_code == 404


@pytest.mark.parametrize(
    ("more", "sentence"),
    [({"reached_on": LATER + timedelta(days=1)}, "still to come")],
)
def test_an_event_of_a_day_to_come_is_refused(more, sentence):
    with pytest.raises(Refused, match=sentence):
        happened(agree(sale_of()), **more)


def test_an_event_happens_once_and_only_in_the_plan_that_holds():
    sale = sale_of()
    first = agree(sale)
    agree(sale, why="Other words")
    with pytest.raises(Refused, match="newest version"):
        happened(first)
    newest = sale.payment_plans.first()
    happened(newest)
    with pytest.raises(Refused, match="already"):
        happened(newest)
    with pytest.raises(Refused, match="on its day"):
        reach_stage(stage=newest.stages.first(), reached_on=ON, shown_by="x", by=make.somebody(), on=ON)


@pytest.mark.parametrize(
    "wrong", [{"amount_minor": 0}, {"due_on": None, "event": ""}, {"due_on": ON, "event": "when it rains"}]
)
def test_the_database_refuses_a_stage_without_a_sum_or_a_when(wrong):
    plan = agree(sale_of())
    row = {"position": 9, "words": "More", "amount_minor": 1, "due_on": ON, "event": ""} | wrong
    with pytest.raises(IntegrityError), transaction.atomic():
        PlanStage.objects.create(plan=plan, **row)


# The pages


def test_the_page_proposes_what_is_paid_and_the_balance(desk):
    sale = sale_of()
    form = desk.get(reverse("shop:sale_plan", args=[sale.number])).context["form"]
    assert (form["words_1"].value(), form["amount_minor_1"].value()) == ("Deposit", "300.00")
    assert (form["words_2"].value(), form["amount_minor_2"].value()) == ("Balance", "1500.00")


def test_stages_are_agreed_on_the_page_and_shown_with_the_sale(desk):
    sale = sale_of()
    answer = desk.post(reverse("shop:sale_plan", args=[sale.number]), typed(sale, *WHOLE))
    assert answer.url == f"{sale.get_absolute_url()}#stages"
    page = desk.get(sale.get_absolute_url()).content.decode()
    assert "Deposit" in page and "due when it is delivered" in page and "A letter" in page
    stage_id = PlanStage.objects.get(position=2).pk
    address = reverse("shop:stage_reached", args=[stage_id])
    assert address in page
    form = {"form_token": uuid4().hex, "reached_on": f"{ON}", "shown_by": "The signed sheet"}
    assert {desk.post(address, form).status_code for _ in range(2)} <= {302, 404}
    assert StageReached.objects.get().shown_by == "The signed sheet"
    assert "due since 21 March 2026" in desk.get(sale.get_absolute_url()).content.decode()


@pytest.mark.parametrize(
    ("row", "field"),
    [
        (("", "10", "2026-05-04", ""), "words_2"),
        (("Rest", "", "2026-05-04", ""), "amount_minor_2"),
        (("Rest", "much", "2026-05-04", ""), "amount_minor_2"),
        (("Rest", "10", "", ""), "due_on_2"),
        (("Rest", "10", "31 February", ""), "due_on_2"),
        (("Rest", "10", "2026-05-04", "when it rains"), "event_2"),
    ],
)
def test_a_wrong_line_is_told_beside_its_field_and_what_was_typed_stays(desk, row, field):
    sale = sale_of()
    answer = desk.post(reverse("shop:sale_plan", args=[sale.number]), typed(sale, WHOLE[0], row))
    assert field in answer.context["form"].errors
    assert "Deposit" in answer.content.decode() and not PaymentPlan.objects.exists()


def test_stages_that_miss_the_price_are_told_on_the_page(desk):
    sale = sale_of()
    answer = desk.post(reverse("shop:sale_plan", args=[sale.number]), typed(sale, WHOLE[0]))
    assert "less than the price" in answer.content.decode() and not PaymentPlan.objects.exists()


def test_pressed_twice_and_sent_again_there_is_one_version(desk):
    sale = sale_of()
    form = typed(sale, *WHOLE)
    answers = {desk.post(reverse("shop:sale_plan", args=[sale.number]), form).status_code for _ in range(3)}
    assert answers == {302} and PaymentPlan.objects.count() == 1


def test_today_says_what_is_owed_late_the_longest_first():
    slow, good = sale_of(), sale_of(name="Ravi Sandholme")
    agree(slow)
    agree(good, [stage("All", 180_000, due_on=LATER + timedelta(days=99))])
    assert owed_late(LATER) == []
    (group,) = owed_late(LATER + timedelta(days=2))
    (line,) = group.lines
    assert group.heading == "Owed to us, late" and line.is_late
    assert "£800.00" in line.words and "Hester Blount" in line.words and "2 days late" in line.detail
    take_payment(promise=slow.promise, amount_minor=150_000, method="card", by=make.somebody(), on=ON)
    assert owed_late(LATER + timedelta(days=2)) == []


def test_an_old_balance_without_stages_is_owed_late_after_a_fortnight(owner):
    sale = sale_of()
    assert owed_late(ON + timedelta(days=14)) == []
    (line,) = owed_late(ON + timedelta(days=15))[0].lines
    assert (
        "£1,500.00" in line.words and line.detail == f"{sale.number}, no stages agreed, 1 day late (4 April)"
    )
    give_notice(sale=sale, kind="goodwill", told_on=ON, by=owner)
    assert owed_late(LATER) == []  # it is to be given back, not paid


def test_the_statement_says_what_of_a_sale_is_due_and_when():
    sale = sale_of()
    agree(sale)
    (word,) = statement_of(sale.person, on=LATER + timedelta(days=1)).open_words
    assert word.stages == (
        "Second payment: £700.00 due when the action is regulated",
        "Balance: £800.00 due 20 April 2026, late",
    )


def test_many_sales_take_no_more_queries_than_one():
    sales = [sale_of(name=f"Buyer {number}") for number in range(3)]
    for sale in sales:
        agree(sale)
    counts = []
    for some in (sales[:1], sales):
        with CaptureQueriesContext(
            connection,
        ) as asked:
            assert len(plans_of(some, on=LATER)) == len(some)
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_once_the_sale_has_ended_no_stage_is_open_any_more(desk):
    sale = sale_of()
    plan = agree(sale)
    cancel_sale(sale=sale, reason="No room", method="card", by=make.somebody(), on=ON)
    page = desk.get(sale.get_absolute_url()).content.decode()
    stages_shown = page[page.index('id="stages"') : page.index('id="papers"')]
    assert "nothing of these is to be paid" in stages_shown
    assert "late" not in stages_shown and "open" not in stages_shown and "happened" not in stages_shown
    with pytest.raises(Refused, match="has ended"):
        happened(plan)


def test_two_stages_of_one_name_are_told_apart(desk):
    sale = sale_of()
    rows = (("Balance", "1,500", f"{ON}", ""), ("balance", "300", "", "when it is delivered"))
    answer = desk.post(reverse("shop:sale_plan", args=[sale.number]), typed(sale, *rows))
    assert "Stage 1 is called “balance” too" in answer.content.decode() and not PaymentPlan.objects.exists()


def test_a_sale_that_its_buyer_ends_asks_for_no_money_anywhere(desk):
    sale = sale_of(paid=40_000)
    agree(sale)
    give_notice(sale=sale, kind="goodwill", told_on=ON, by=make.somebody())
    page = desk.get(sale.get_absolute_url()).content.decode()
    assert "nothing more is to be paid, and £400.00 goes back" in page and "Paid until now" in page
    for words in (
        "Still to pay",
        "still to pay",
        "Take a payment",
        "is late",
        "It has happened",
        "Change the stages",
    ):
        assert words not in page
    on = LATER + timedelta(days=60)
    groups = [*owed_late(on), *to_be_delivered(on), *to_be_given_back(on)]
    assert [group.heading for group in groups] == ["Sales that end: money to give back"]
    assert not owed_to_us(on).rows
    statement = statement_of(sale.person, on=on)
    (word,) = statement.open_words
    assert word.to_pay_minor is None and not word.stages and word.late_since is None
    assert statement.stands_words == (
        f"Once {sale.number} is ended, as its buyer asks: £400.00 is theirs, in credit or on what is open."
    )


def test_a_stage_paid_in_part_says_how_much_of_it_is_still_to_pay():
    sale = sale_of(paid=40_000)
    agree(sale)
    rows = plan_of(sale, on=ON).rows
    assert [row.state_words for row in rows[1:]] == ["£600.00 of it still to pay, not due yet", "not due yet"]
