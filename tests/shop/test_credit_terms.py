"""Terms of credit: put in force, kept by each trial, and what they do when it ends."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.problems import Blocked, Refused
from shop.actions.agreements import agreement_words
from shop.actions.credit_days import expire_credit, lots_of
from shop.actions.credit_terms import credit_terms_in_force, put_credit_terms_in_force
from shop.actions.deductions import Agreed, agree_deduction, take_back_deduction
from shop.actions.holds import give_back_later
from shop.actions.ledger import NotEnough, credit_of, fees_in, still_to_pay, take_fee, value_in
from shop.actions.trial_settling import credit_for
from shop.actions.trials import exchange_trial, keep_trial, return_trial, start_trial
from shop.calc.credit_terms import CreditRule
from shop.credit_problems import scale_cautions, share_cautions
from shop.models import BookLine, CreditTerms, Deduction, Trial
from shop.statements import statement_of
from shop.waiting import waiting_for
from tests import make
from tests.shop.money_oracle import every_sum_is_what_it_must_be, statement_equals_the_ledger

pytestmark = pytest.mark.django_db
ON = make.A_DAY
FALLING = CreditRule(scale=((0, 100), (1, 80)), expires_after_months=6)
CHIP = Agreed("damage", "A chipped key", 5_000, "signed", ON)


@pytest.fixture
def owner(db):
    user = make.make_user("olive", "Olive Rook")
    user.is_superuser = True
    user.save()
    return user


def given(**more):
    return {"by": make.somebody(), "on": ON} | more


def post(client, address, fields):
    return client.post(address, {"form_token": uuid4().hex} | fields)


def exchange(trial, price, **more):
    given_too = given(**more)
    return exchange_trial(trial=trial, other=make.make_instrument(), other_price_minor=price, **given_too)


def test_a_later_change_never_touches_a_running_trial():
    trial = make.make_running_trial()
    put_credit_terms_in_force(rule=FALLING, **given())
    trial.refresh_from_db()
    assert trial.credit_terms.rule == CreditRule()
    assert make.make_trial().credit_terms.rule == FALLING == credit_terms_in_force().rule


def test_putting_the_same_in_force_twice_is_refused():
    put_credit_terms_in_force(rule=FALLING, **given())
    with pytest.raises(Blocked, match="Nothing has changed"):
        put_credit_terms_in_force(rule=FALLING, **given())


def test_a_trial_on_the_shops_terms_shares_their_row_and_another_has_its_own():
    in_force = credit_terms_in_force()
    before = CreditTerms.objects.count()
    assert make.make_trial(credit=CreditRule()).credit_terms == in_force
    assert make.make_trial(credit=FALLING).credit_terms.label == ""
    assert CreditTerms.objects.count() == before + 1


@pytest.mark.parametrize(("days", "counts"), [(30, 180_000), (31, 144_000)])
def test_the_share_of_the_day_counts(days, counts):
    trial = make.make_running_trial(credit=FALLING)  # 21 March: the first month is gone on 21 April
    sale = exchange(trial, 240_000, on=ON + timedelta(days=days))
    assert value_in(sale.promise) == counts
    every_sum_is_what_it_must_be()


def test_what_does_not_count_stands_as_a_line_of_its_own():
    trial = make.make_running_trial(credit_percent=80)
    exchange(trial, 240_000)
    line = Deduction.objects.get()
    assert (line.amount_minor, line.kind) == (36_000, "not_counting")
    assert "80 % counts by the terms of" in statement_of(trial.person).steps[1].words


def test_only_toward_a_dearer_one_is_refused_with_both_prices(owner):
    trial = make.make_running_trial(credit=CreditRule(only_dearer=True))
    with pytest.raises(Blocked, match="only toward a dearer instrument: this one is £1,800"):
        exchange(trial, 150_000)
    with pytest.raises(Blocked, match="Only the owner may make an exception"):
        exchange(trial, 150_000, exception="Loyal", by=make.make_user("selma", "Selma Gray"))
    sale = exchange(trial, 150_000, exception="A loyal customer", by=owner)
    assert sale.from_trial.exception_note == "A loyal customer"


def test_what_is_left_over_is_given_back_as_far_as_it_came_from_this_trial():
    person = make.make_person()
    exchange(make.make_running_trial(person=person), 150_000)  # leaves 300.00 in credit
    exchange(make.make_running_trial(person=person), 100_000, left_over="refund", method="cash")
    assert credit_of(person) == 0
    assert person.payments.last().amount_minor == -110_000
    every_sum_is_what_it_must_be()


def test_a_fee_that_counts_comes_off_another_and_leaves_the_books():
    trial = make.make_running_trial(
        pay_now_minor=100_000, delivery_minor=9_000, credit=CreditRule(fees_that_count=("delivery",))
    )
    sale = exchange(trial, 240_000)
    assert value_in(sale.promise) == 109_000
    assert fees_in(trial.promise, {"delivery"}) == 0
    assert sum(line.gross_minor for line in BookLine.objects.filter(kind="fee")) == 0
    every_sum_is_what_it_must_be()


def test_a_fee_that_counts_comes_off_the_price_of_what_is_kept():
    trial = make.make_running_trial(pay_now_minor=175_000, credit=CreditRule(fees_that_count=("hire",)))
    take_fee(promise=trial.promise, purpose="hire", amount_minor=9_000, method="card", **given())
    sale = keep_trial(trial=trial, **given())
    assert still_to_pay(sale.promise) == 0
    assert fees_in(trial.promise, {"hire"}) == 4_000  # no more than was to pay
    every_sum_is_what_it_must_be()


def test_a_trial_is_exchanged_into_another_and_that_into_a_sale():
    first = make.make_running_trial(credit=FALLING)
    second = make.make_trial(
        person=first.person, price_minor=200_000, pay_now_minor=200_000, exchanged_from=first
    )
    second = start_trial(trial=second, method="card", **given())
    first.refresh_from_db()
    assert (first.outcome, value_in(second.promise)) == ("exchanged", 200_000)
    assert second.promise.payments.get().amount_minor == 20_000  # only what was short
    sale = exchange(second, 250_000)
    assert still_to_pay(sale.promise) == 50_000
    statement_equals_the_ledger(statement_of(first.person))
    every_sum_is_what_it_must_be()


def test_its_agreement_says_what_is_brought_across():
    first = make.make_running_trial()
    second = make.make_trial(person=first.person, exchanged_from=first)
    assert first.number in agreement_words(second, on=ON).brought_words


def test_a_trial_that_follows_is_not_started_when_the_first_was_returned():
    first = make.make_running_trial()
    second = make.make_trial(person=first.person, exchanged_from=first)
    return_trial(trial=first, give_back="refund", method="cash", **given())
    with pytest.raises(Refused, match="is not out"):
        start_trial(trial=second, method="card", **given())
    assert Trial.objects.get(pk=second.pk).state == "draft"


def test_deductions_are_steps_of_their_own_and_lessen_what_counts():
    trial = make.make_running_trial()
    agree_deduction(trial=trial, line=CHIP, **given())
    agree_deduction(trial=trial, line=Agreed("missing", "The stool", 3_000, "written", ON), **given())
    assert credit_for(trial, on=ON) == 172_000
    return_trial(trial=trial, give_back="refund", method="cash", **given())
    steps = [step.sum_minor for step in statement_of(trial.person).steps if step.sum_minor]
    assert steps == [180_000, -5_000, -3_000, -172_000]
    every_sum_is_what_it_must_be()


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"agreed_how": ""}, "What they have not agreed to is not deducted"),
        ({"agreed_on": None}, "Say how and when"),
        ({"agreed_on": ON + timedelta(days=1)}, "still to come"),
        ({"words": " "}, "what the deduction is for"),
        ({"amount_minor": 0}, "more than nothing"),
        ({"amount_minor": 180_001}, "more than was paid"),
        ({"kind": "not_counting"}, "damage, something missing"),
    ],
)
def test_a_deduction_that_is_not_agreed_is_refused(wrong, why):
    line = Agreed(**(CHIP.__dict__ | wrong))
    with pytest.raises(Refused, match=why):
        agree_deduction(trial=make.make_running_trial(), line=line, **given())
    assert not Deduction.objects.exists()


def test_all_deductions_together_are_no_more_than_was_paid():
    trial = make.make_running_trial(pay_now_minor=9_999)
    agree_deduction(trial=trial, line=CHIP, **given())
    with pytest.raises(NotEnough, match="more than was paid"):
        agree_deduction(trial=trial, line=CHIP, **given())


def test_a_deduction_is_taken_back_once_and_then_counts_no_longer():
    trial = make.make_running_trial()
    line = agree_deduction(trial=trial, line=CHIP, **given())
    with pytest.raises(Refused, match="take them back first"):
        keep_trial(trial=trial, **given())
    take_back_deduction(deduction=line, why="It was there before", **given())
    with pytest.raises(Refused, match="taken back before"):
        take_back_deduction(deduction=line, why="Again", **given())
    assert credit_for(trial, on=ON) == 180_000
    keep_trial(trial=trial, **given())


def test_what_was_deducted_can_be_given_back_after_the_end():
    trial = make.make_running_trial()
    return_trial(trial=trial, deduction=CHIP, give_back="refund", method="cash", **given())
    give_back_later(
        promise=trial.promise, amount_minor=2_000, method="cash", reason="It was there", **given()
    )
    assert value_in(trial.promise) == 3_000
    statement_equals_the_ledger(statement_of(trial.person))
    every_sum_is_what_it_must_be()


def test_credit_runs_out_only_by_the_owners_hand_and_says_how_they_were_told(owner):
    trial = make.make_running_trial(credit=FALLING)
    return_trial(trial=trial, give_back="credit", **given())
    after = ON + timedelta(days=200)
    assert lots_of(trial.person)[0].runs_out_on == ON.replace(month=9)
    with pytest.raises(NotEnough, match="Nothing of the credit"):
        expire_credit(person=trial.person, told="Letter", by=owner, on=ON.replace(month=9))
    with pytest.raises(Refused, match="Only the owner"):
        expire_credit(person=trial.person, told="Letter", by=make.make_user("selma"), on=after)
    with pytest.raises(Refused, match="how and when they were told"):
        expire_credit(person=trial.person, told=" ", by=owner, on=after)
    assert credit_of(trial.person) == 180_000  # nothing ran out by itself
    expire_credit(person=trial.person, told="Our letter of 3 August", by=owner, on=after)
    last = statement_of(trial.person).steps[-1]
    assert (credit_of(trial.person), last.sum_minor) == (0, -180_000)
    assert "Our letter of 3 August" in last.words
    every_sum_is_what_it_must_be()


def test_today_reminds_before_credit_runs_out(owner, django_assert_num_queries):
    trial = make.make_running_trial(credit=FALLING)
    return_trial(trial=trial, give_back="credit", **given())

    def lines(on):
        groups = waiting_for(owner, on=on)
        return [each.words for group in groups if "runs out" in group.heading for each in group.lines]

    assert lines(ON) == []
    assert lines(ON + timedelta(days=160)) == [f"£1,800.00 of {trial.person}"]


def test_the_owner_puts_a_scale_in_force_and_a_wrong_step_is_named_at_its_field(client, owner):
    client.force_login(owner)
    page = reverse("shop:credit_terms_page")
    form = {"credit_percent": "100", "reach": "dearer", "fees_that_count": ["delivery"]}
    answer = post(client, page, form | {"from_2": "2", "share_2": "80", "from_3": "1", "share_3": "70"})
    assert "later than the one before it, month 2" in answer.context["form"].errors["from_3"][0]
    answer = post(client, page, form | {"from_2": "2"})
    assert "share_2" in answer.context["form"].errors
    assert credit_terms_in_force().rule == CreditRule()
    typed = form | {"from_2": "2", "share_2": "80", "expires_after_months": "24"}
    shown = post(client, page, typed)
    assert credit_terms_in_force().rule == CreditRule() and "80 % from month 2 on" in shown.content.decode()
    post(client, page, typed | {"looked_at": shown.context["form"].mark})
    assert credit_terms_in_force().rule == CreditRule(
        scale=((0, 100), (2, 80)), fees_that_count=("delivery",), only_dearer=True, expires_after_months=24
    )
    assert "80 % from month 2 on" in client.get(page).content.decode()


REWARD = (
    "These terms reward returning over exchanging. Of £1,000.00 paid, 80 % counts in the end: who exchanges "
    "takes £800.00 to the other instrument and leaves £200.00 with us, and who returns it is given "
    "£1,000.00 back."
)


def test_a_share_that_rewards_returning_is_warned_of_in_figures(client, owner):
    client.force_login(owner)
    page = reverse("shop:credit_terms_page")
    assert "reward returning" not in client.get(page).content.decode()
    form = {"credit_percent": "100", "from_2": "2", "share_2": "80", "form_token": uuid4().hex}
    shown = client.post(page, form)
    assert REWARD in shown.content.decode()
    said = client.post(page, form | {"looked_at": shown.context["form"].mark}, follow=True)
    assert REWARD in [str(each) for each in said.context["messages"]]
    assert REWARD in said.content.decode()
    draft = client.get(reverse("shop:trial_draft", args=[make.make_instrument().stock_number]))
    assert REWARD in draft.content.decode()


def test_a_draft_is_warned_of_in_its_own_figures_by_the_share_of_its_last_day(client, owner):
    client.force_login(owner)
    months = CreditRule(scale=((0, 100), (1, 75)))
    six_weeks = make.make_trial(credit=months, pay_now_minor=90_000)
    (caution,) = share_cautions(six_weeks)
    assert "takes £675.00 to the other instrument and leaves £225.00 with us" in caution.sentence
    assert caution.sentence in client.get(six_weeks.get_absolute_url()).content.decode()
    assert share_cautions(make.make_trial(credit=months, ends_on=ON + timedelta(days=20))) == []
    assert share_cautions(make.make_trial(credit=months, pay_now_minor=0)) == []


def test_the_warning_tells_where_the_scale_itself_goes():
    (falls,) = scale_cautions(CreditRule(scale=((0, 100), (2, 80), (6, 50))))
    assert "50 % counts in the end" in falls.sentence and "begins in month 6 or later" in falls.sentence
    (rises,) = scale_cautions(CreditRule(scale=((0, 50), (2, 90))))
    assert "50 % counts at the lowest" in rises.sentence
    assert rises.sentence.endswith("In the end, from month 2 on, 90 % counts.")
    assert scale_cautions(CreditRule()) == []


def test_a_scale_that_rises_is_asked_about_once(client, owner):
    client.force_login(owner)
    page = reverse("shop:credit_terms_page")
    rising = {"credit_percent": "50", "reach": "any", "from_2": "2", "share_2": "90"}
    assert "seldom meant" in post(client, page, rising).context["form"].errors["rises"][0]
    shown = post(client, page, rising | {"rises": "on"})
    post(client, page, rising | {"rises": "on", "looked_at": shown.context["form"].mark})
    assert credit_terms_in_force().rule.scale == ((0, 50), (2, 90))


def test_a_deduction_and_a_fee_are_written_down_on_their_pages(client, owner):
    client.force_login(owner)
    trial = make.make_running_trial()
    line = {"kind": "damage", "words": "A chipped key", "amount_minor": "50", "agreed_on": "2026-03-21"}
    address = reverse("shop:trial_deduct", args=[trial.number])
    answer = post(client, address, line)
    assert "not agreed to is not deducted" in answer.context["form"].errors["agreed_how"][0]
    post(client, address, line | {"agreed_how": "signed"})
    fee = {"purpose": "tuning", "amount_minor": "60", "method": "cash"}
    post(client, reverse("shop:trial_fee", args=[trial.number]), fee)
    page = client.get(trial.get_absolute_url()).content.decode()
    assert "A chipped key" in page and "£1,750.00 counts toward another" in page and "£60.00" in page


def test_an_exchange_can_lead_to_a_home_trial_of_the_other(client, owner):
    client.force_login(owner)
    trial, other = make.make_running_trial(), make.make_instrument(maker="Castlemere")
    make.make_price(instrument=other, amount_minor=240_000)
    address = reverse("shop:trial_exchange", args=[trial.number])
    answer = post(client, address, {"other": other.pk, "take": "trial"})
    following = Trial.objects.get(exchanged_from=trial)
    assert answer.url == following.get_absolute_url()
    assert (following.state, following.pay_now_minor) == ("draft", 180_000)
    assert "ends by exchange when this one starts" in client.get(answer.url).content.decode()
