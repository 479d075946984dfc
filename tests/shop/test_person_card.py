"""The whole card of a person: what is late first, every sum the ledger's, in a fixed number of queries."""

from datetime import timedelta

import pytest
from django.urls import reverse

from shop.actions.ledger import credit_of, paid_in_money, still_to_pay
from shop.actions.payment_plans import agree_plan
from shop.actions.promises import place_hold
from shop.actions.receipts import issue_receipt
from shop.actions.sale_notices import give_notice
from shop.actions.trials import return_trial
from shop.actions.waiting_list import join_waiting_list
from shop.person_card import card_of
from shop.person_late import late_of
from shop.person_papers import NUMBERS, OF_NOBODY, OF_TRIAL_OR_SALE, papers_of
from shop.states import PaperKind
from tests import make
from tests.make_sale import make_delivered_sale, make_sale

pytestmark = pytest.mark.django_db
ON = make.A_DAY


def a_busy_person(by, name="Wilf Arden"):
    """Bought with some still to pay, has one on trial, one held, one wished for, credit, and sold us one."""
    person = make.make_person(name=name)
    make_sale(person=person, paid=40_000, by=by, on=ON)
    make.make_running_trial(person=person)
    place_hold(instrument=make.make_instrument(by=by), person=person, until=ON, by=by, on=ON)
    held = make.make_instrument(by=by)
    place_hold(instrument=held, person=make.make_person(name="Ida Waites"), until=ON, by=by, on=ON)
    join_waiting_list(instrument=held, person=person, by=by, on=ON)
    make.make_wanted(person=person, by=by)
    make.make_purchase(instrument=make.make_instrument(by=by), seller=person, by=by)
    back = make.make_running_trial(person=person, pay_now_minor=10_000)
    return_trial(trial=back, give_back="credit", by=by, on=ON)
    make.make_lead(person=person, by=by)
    make.make_taken_in(person=person, by=by)
    make.make_sale_or_return(owner=person, by=by)
    return person


def test_every_sum_is_the_ledgers(owner):
    person = a_busy_person(owner)
    card = card_of(person, on=ON)
    sale = person.purchases_from_us.get()
    assert card.they_owe_minor == still_to_pay(sale.promise) > 0
    assert card.credit_minor == credit_of(person) == 10_000
    assert card.paid_minor == paid_in_money(person) == sum(p.amount_minor for p in person.payments.all())
    assert card.we_owe_minor == 0


def test_the_card_tells_of_everything(client, seller, owner):
    person = a_busy_person(owner)
    client.force_login(seller)
    page = client.get(person.get_absolute_url()).content.decode()
    for words in ("Has our word on", "They owe us", "Wants", "Waits for", "Offered us", "Sold us", "Bought"):
        assert words in page
    for words in ("Left", "Their own", "Home trial"):
        assert words in page


def test_what_is_late_is_said_first_with_its_way_on(owner):
    person = make.make_person()
    trial = make.make_running_trial(person=person)
    later = trial.ends_on + timedelta(days=3)
    (late,) = late_of(card_of(person, on=later))
    assert late.url == f"{trial.get_absolute_url()}#endings"
    assert late.detail.startswith("3 days late")
    assert late_of(card_of(person, on=trial.ends_on)) == []


def test_a_late_stage_says_how_much_of_it_is_late(owner):
    person = make.make_person()
    sale = make_sale(person=person, paid=40_000, by=owner, on=ON)
    price = sale.promise.price_minor
    stages = [
        {"words": "First", "amount_minor": 50_000, "due_on": ON},
        {"words": "Rest", "amount_minor": price - 50_000, "due_on": ON + timedelta(days=60)},
    ]
    agree_plan(sale=sale, stages=stages, agreed_on=ON, written="A letter", by=owner, on=ON)
    card = card_of(person, on=ON + timedelta(days=5))
    (late,) = late_of(card)
    assert late.words.startswith("They owe £100.00")
    assert card.they_owe_minor == price - 40_000


def test_of_a_sale_that_ends_we_owe_what_was_paid_and_they_owe_nothing(owner):
    person = make.make_person()
    sale = make_delivered_sale(person=person, by=owner, on=ON)
    paid = card_of(person, on=ON).statement.open_words[0].held_minor
    give_notice(sale=sale, kind="goodwill", told_on=ON, by=owner)
    card = card_of(person, on=ON)
    assert (card.they_owe_minor, card.we_owe_minor) == (0, paid)


def test_what_the_shop_paid_for_theirs_is_for_those_who_see_costs(client, seller, buyer, owner):
    person = make.make_person()
    instrument = make.make_instrument(by=owner)
    make.make_purchase(instrument=instrument, seller=person, price_minor=123_456, by=owner)
    pages = {}
    for user in (seller, buyer):
        client.force_login(user)
        pages[user] = client.get(person.get_absolute_url()).content.decode()
    assert "1,234.56" not in pages[seller]
    assert "1,234.56" in pages[buyer]


@pytest.mark.parametrize("times", [1, 3])
def test_queries_do_not_grow_with_the_dealings(client, owner, times, django_assert_max_num_queries):
    person = a_busy_person(owner)
    for _ in range(times - 1):
        other = a_busy_person(owner, name="Somebody else entirely")
        other.merged_into = person
        other.save()
    client.force_login(owner)
    with django_assert_max_num_queries(52):
        client.get(person.get_absolute_url())


def test_each_kind_of_paper_is_somebodys_or_nobodys():
    assert set(NUMBERS) | OF_TRIAL_OR_SALE | OF_NOBODY == set(PaperKind)


def test_a_paper_is_found_and_printed_from_the_card_of_its_person_alone(client, seller, owner):
    person, other = make.make_person(), make.make_person(name="Edith Gray")
    sale = make_sale(person=person, paid=40_000, by=owner, on=ON)
    paper = issue_receipt(receipt=sale.promise.payments.get().receipt, by=owner)
    assert list(papers_of(person)) == [paper]
    assert not papers_of(other).exists()
    client.force_login(seller)
    of_person = reverse("shop:person_paper", args=[person.pk, paper.pk])
    assert client.get(of_person).content.startswith(b"%PDF")
    assert client.get(reverse("shop:person_paper", args=[other.pk, paper.pk])).status_code == 404
