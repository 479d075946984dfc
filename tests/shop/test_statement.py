"""A statement of account: a customer can follow the column, and every figure is the ledger's."""

from datetime import timedelta

import pytest
from django.urls import reverse

from shop.actions.deductions import Agreed
from shop.actions.money import record_purchase
from shop.actions.sale_endings import take_back_sale
from shop.actions.sale_or_return import pay_owner
from shop.actions.sales import sell
from shop.actions.statement_papers import print_statement
from shop.actions.trials import exchange_trial, return_trial
from shop.statements import statement_of
from tests import make
from tests.reading import Reading
from tests.shop.money_oracle import statement_equals_the_ledger

pytestmark = pytest.mark.django_db
ON = make.A_DAY


def a_chain():
    """Exchanged down at four fifths, the sale taken back into credit, the credit spent on a third."""
    by, trial = make.somebody(), make.make_running_trial(credit_percent=80)
    given = {"by": by, "on": ON + timedelta(days=10)}
    sale = exchange_trial(trial=trial, other=make.make_instrument(), other_price_minor=100_000, **given)
    take_back_sale(sale=sale, reason="Too loud", give_back="credit", **given)
    sell(
        instrument=make.make_instrument(),
        person=trial.person,
        price_minor=160_000,
        credit_minor=144_000,
        **given,
    )
    return trial.person


def test_a_chain_of_exchanges_can_be_followed_in_one_column():
    statement = statement_of(a_chain())
    sums = [step.sum_minor for step in statement.steps if step.sum_minor]
    assert sums == [180_000, -36_000, -100_000, 100_000, -160_000]
    assert statement.balance_minor == -16_000 and statement.credit_minor == 0
    assert [word.to_pay_minor for word in statement.open_words] == [16_000]
    statement_equals_the_ledger(statement)


def test_an_agreed_deduction_stands_as_its_own_step():
    trial = make.make_running_trial()
    return_trial(
        trial=trial, deduction=Agreed("damage", "A chipped key", 5_000, "signed", ON),
        give_back="refund", method="cash",
        by=make.somebody(), on=ON,
    )  # fmt: skip
    statement = statement_of(trial.person)
    assert [step.sum_minor for step in statement.steps] == [180_000, -5_000, -175_000]
    assert "A chipped key" in statement.steps[1].words


def test_the_newest_steps_follow_what_is_brought_forward():
    person = a_chain()
    whole, short = statement_of(person), statement_of(person, limit=2)
    assert short.has_earlier and not whole.has_earlier
    assert short.steps == whole.steps[-2:]
    statement_equals_the_ledger(short)


def test_page_and_paper_say_the_same(client, seller):
    client.force_login(seller)
    person = a_chain()
    page = client.get(reverse("shop:person_statement", args=[person.pk])).content.decode()
    answer = client.get(reverse("shop:person_statement_print", args=[person.pk]))
    paper = Reading(answer.content).text
    for words in ("1,800.00", "360.00", "1,600.00", "160.00"):
        assert words in page and words in paper
    assert "Statement of account" in paper


def test_what_we_bought_of_them_stands_beside_the_account_and_in_no_sum(client, seller, owner):
    person = make.make_person(name="Wilf Arden", address="Mill House\nNether Marl")
    piano = make.make_instrument(by=owner)
    record_purchase(
        instrument=piano, seller=person, route="private", price_minor=42_000, bought_on=ON, by=owner, on=ON
    )
    agreement = make.make_sale_or_return(owner=person, by=owner)
    sell(instrument=agreement.instrument, person=make.make_person(), price_minor=150_000, by=owner, on=ON)
    pay_owner(agreement=agreement, amount_minor=105_000, method="transfer", by=owner, on=ON)
    statement = statement_of(person)
    assert [each.amount_minor for each in statement.bought] == [42_000, 105_000]
    assert (statement.steps, statement.balance_minor) == ((), 0)
    client.force_login(seller)
    page = client.get(reverse("shop:person_statement", args=[person.pk])).content.decode()
    paper = Reading(client.get(reverse("shop:person_statement_print", args=[person.pk])).content).text
    for text in (page, paper):
        assert "£420.00" in text and "£1,050.00" in text
    assert "Nothing is owed either way." in page and "No money has moved." in paper
    assert "Mill House Nether Marl" in " ".join(paper.split())  # a line each, and no comma run in between


def test_the_last_figure_is_said_in_words():
    statement = statement_of(a_chain())
    assert statement.stands_words == "£160.00 is still to pay to us."
    trial = make.make_running_trial(pay_now_minor=50_000)
    held = statement_of(trial.person)
    assert held.stands_words == "£500.00 is theirs, in credit or on what is open."
    paper = Reading(print_statement(held, on=ON)).text
    assert "£500.00 is yours, in credit or on what is open." in " ".join(paper.split())


def test_the_statement_of_somebody_new_says_what_to_expect(client, seller):
    client.force_login(seller)
    page = client.get(reverse("shop:person_statement", args=[make.make_person().pk]))
    assert "No money has moved" in page.content.decode()


def test_queries_do_not_grow_with_the_account(django_assert_max_num_queries):
    person = a_chain()
    with django_assert_max_num_queries(13):
        statement_of(person)
