"""Two cards of one person: joined by a pointer, read as one everywhere, parted while nothing spans both."""

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from instruments.problems import Blocked, Refused
from shop.actions.joining import join_cards, part_cards
from shop.actions.ledger import credit_of, lock_person, pay_out_credit, take_payment, use_credit
from shop.actions.promises import place_hold, release_hold
from shop.actions.sales import sell
from shop.actions.trials import return_trial
from shop.actions.waiting_list import join_waiting_list
from shop.books import we_owe
from shop.forms.people import PersonChoice
from shop.models import CreditEntry, Payment, Person, Promise, WaitingPlace
from shop.statements import account_of, statement_of
from tests import make

pytestmark = pytest.mark.django_db
WHY = "They said so"


@pytest.fixture
def two_cards(owner):
    """Wilf Arden twice; the newer card has 100.00 in credit from a trial."""
    into = make.make_person(telephone="01632 960101", note="Plays the organ")
    double = make.make_person(name="Arden, Wilf", telephone="+44 1632 960101", note="Second floor")
    trial = make.make_running_trial(person=double, pay_now_minor=10_000)
    return_trial(trial=trial, give_back="credit", by=owner, on=make.A_DAY)
    return into, double


def join(into, double, by, **facts):
    return join_cards(double=double, into=into, facts=facts, reason=WHY, by=by, on=make.A_DAY)


def test_after_joining_every_sum_goes_over_both_cards(two_cards, owner):
    into, double = two_cards
    assert (credit_of(into), credit_of(double)) == (0, 10_000)
    join(into, double, owner)
    for card in (Person.objects.get(pk=into.pk), Person.objects.get(pk=double.pk)):
        assert credit_of(card) == 10_000
        statement = statement_of(card)
        assert statement.balance_minor == statement.credit_minor == 10_000
        assert len(account_of(card)) == 2
    assert [(each.who, each.amount_minor) for each in we_owe(make.A_DAY).rows] == [(str(into), 10_000)]


def test_no_row_was_moved(two_cards, owner):
    into, double = two_cards
    before = list(CreditEntry.objects.values_list("pk", "person")), list(Payment.objects.values())
    join(into, double, owner)
    assert (list(CreditEntry.objects.values_list("pk", "person")), list(Payment.objects.values())) == before


def test_credit_of_the_joined_card_is_spent_by_the_standing_one_and_never_twice(two_cards, owner):
    into, double = two_cards
    join(into, double, owner)
    sale = sell(
        instrument=make.make_instrument(),
        person=into,
        price_minor=50_000,
        credit_minor=7_000,
        by=owner,
        on=make.A_DAY,
    )
    assert credit_of(into) == 3_000
    with pytest.raises(Refused, match="less in credit"):
        use_credit(promise=sale.promise, amount_minor=3_001, note="", by=owner, on=make.A_DAY)
    pay_out_credit(person=double, amount_minor=3_000, method="cash", by=owner, on=make.A_DAY)
    assert credit_of(into) == credit_of(Person.objects.get(pk=double.pk)) == 0


def test_a_hold_of_the_joined_card_becomes_the_sale_of_the_standing_one(two_cards, owner):
    into, double = two_cards
    instrument = make.make_instrument()
    place_hold(instrument=instrument, person=double, until=make.A_DAY, by=owner, on=make.A_DAY)
    join(into, double, owner)
    sale = sell(instrument=instrument, person=into, price_minor=50_000, by=owner, on=make.A_DAY)
    assert Promise.objects.open().get(instrument=instrument) == sale.promise


def test_they_wait_once_and_cannot_wait_for_what_is_promised_to_them(two_cards, owner):
    into, double = two_cards
    waited, theirs = make.make_instrument(), make.make_instrument()
    somebody_else = make.make_person(name="Otto Nextley")
    place_hold(instrument=waited, person=somebody_else, until=make.A_DAY, by=owner, on=make.A_DAY)
    place_hold(instrument=theirs, person=double, until=make.A_DAY, by=owner, on=make.A_DAY)
    for card in (double, into):
        join_waiting_list(instrument=waited, person=card, by=owner, on=make.A_DAY)
    join(into, double, owner)
    assert WaitingPlace.objects.open().get(instrument=waited).person == double
    with pytest.raises(Refused, match="waits for it already"):
        join_waiting_list(instrument=waited, person=into, by=owner, on=make.A_DAY)
    with pytest.raises(Refused, match="promised to"):
        join_waiting_list(instrument=theirs, person=into, by=owner, on=make.A_DAY)


def test_pointers_are_never_deeper_than_one(owner):
    first, second, third = (make.make_person() for _ in range(3))
    join(second, first, owner)
    join(third, second, owner)
    assert set(Person.objects.filter(merged_into=third)) == {first, second}
    assert not Person.objects.filter(merged_into__merged_into__isnull=False).exists()
    assert lock_person(Person.objects.get(pk=first.pk)) == third


def test_the_database_refuses_a_card_that_points_at_itself():
    person = make.make_person()
    with pytest.raises(IntegrityError), transaction.atomic():
        Person.objects.filter(pk=person.pk).update(merged_into=person)


@pytest.mark.parametrize("again", ["double", "into"])
def test_what_is_joined_is_not_joined_again(two_cards, owner, again):
    into, double = two_cards
    join(into, double, owner)
    third = make.make_person()
    with pytest.raises(Blocked, match="joined with another already"):
        join(*((third, double) if again == "double" else (double, third)), owner)
    with pytest.raises(Blocked, match="the same card"):
        join(into, into, owner)


def test_a_joined_card_is_offered_nowhere_and_found_by_its_old_name(two_cards, owner, client):
    into, double = two_cards
    double.name = "Wilfred Ardenne"
    double.save()
    join(into, double, owner)
    assert double not in PersonChoice().queryset
    for value in (double.pk, str(double.pk), into.pk):
        assert PersonChoice().to_python(value) == into
    client.force_login(owner)
    page = client.post(reverse("shop:people"), {"q": "ardenne"})
    assert list(page.context["page"]) == [into]
    part_cards(double=double, reason="Cousins", by=owner)
    assert list(client.post(reverse("shop:people"), {"q": "ardenne"}).context["page"]) == [double]


@pytest.mark.parametrize(
    "name", ["person_page", "person_edit", "person_statement", "credit_pay_out", "person_join"]
)
def test_the_address_of_a_joined_card_leads_to_the_one_that_stands(two_cards, owner, client, name):
    into, double = two_cards
    join(into, double, owner)
    client.force_login(owner)
    answer = client.get(reverse(f"shop:{name}", args=[double.pk]))
    assert answer.status_code == 302
    assert answer.url == reverse(f"shop:{name}", args=[into.pk])


def test_cards_part_again_with_all_that_was_theirs(two_cards, owner):
    into, double = two_cards
    join(into, double, owner)
    hold = place_hold(
        instrument=make.make_instrument(),
        person=into,
        until=make.A_DAY,
        deposit_minor=500,
        method="cash",
        by=owner,
        on=make.A_DAY,
    )
    release_hold(promise=hold, by=owner, on=make.A_DAY)
    part_cards(double=double, reason="Father and son", by=owner)
    assert credit_of(Person.objects.get(pk=into.pk)) == 500
    assert credit_of(Person.objects.get(pk=double.pk)) == 10_000
    why = double.history.first().history_change_reason
    assert why == f"Parted from the card of Wilf Arden, no. {into.pk}: Father and son"


def test_they_stay_together_once_credit_was_used_across_both(two_cards, owner):
    into, double = two_cards
    join(into, double, owner)
    sell(
        instrument=make.make_instrument(),
        person=into,
        price_minor=50_000,
        credit_minor=7_000,
        by=owner,
        on=make.A_DAY,
    )
    with pytest.raises(Blocked, match=r"apart, one would stand at .£70\.00"):
        part_cards(double=double, reason="Cousins", by=owner)


def test_they_stay_together_once_a_payment_spans_both(two_cards, owner):
    into, double = two_cards
    instrument = make.make_instrument()
    hold = place_hold(instrument=instrument, person=double, until=make.A_DAY, by=owner, on=make.A_DAY)
    join(into, double, owner)
    hold.refresh_from_db()
    take_payment(promise=hold, amount_minor=500, method="cash", by=owner, on=make.A_DAY)
    with pytest.raises(Blocked, match="written across both cards"):
        part_cards(double=double, reason="Cousins", by=owner)


def test_the_page_joins_with_the_facts_chosen_and_asks_for_the_name(two_cards, seller, client):
    into, double = two_cards
    client.force_login(seller)
    address = reverse("shop:person_join", args=[into.pk]) + f"?with={double.pk}"
    page = client.get(address)
    assert "Plays the organ" in page.content.decode()
    sent = {"name": "into", "telephone": "double", "note": "both", "reason": WHY, "confirm": "Somebody"}
    sent["form_token"] = "f" * 32
    refused = client.post(address, sent)
    assert "That is not the name on the card" in refused.content.decode()
    assert 'value="They said so"' in refused.content.decode()
    assert not Person.objects.filter(merged_into__isnull=False).exists()
    answer = client.post(address, sent | {"confirm": "wilf arden"})
    assert answer.status_code == 302, answer.content.decode()[3000:6000]
    into.refresh_from_db()
    assert (into.name, into.telephone) == ("Wilf Arden", "+44 1632 960101")
    assert into.note == "Plays the organ\nSecond floor"
    assert into.doubles.get() == double


def test_likely_doubles_are_offered_on_the_card_and_on_the_list(two_cards, seller, client):
    into, double = two_cards
    client.force_login(seller)
    side_by_side = f"{reverse('shop:person_join', args=[into.pk])}?with={double.pk}"
    for page in (reverse("shop:people_doubles"), into.get_absolute_url()):
        words = client.get(page).content.decode()
        assert "the same telephone number" in words
        assert side_by_side in words
    join(into, double, seller)
    assert "No two cards" in client.get(reverse("shop:people_doubles")).content.decode()


def test_a_card_that_was_closed_is_promised_nothing_more(owner):
    person = make.make_person(closed_on=make.A_DAY)
    with pytest.raises(Refused, match="closed"):
        place_hold(
            instrument=make.make_instrument(), person=person, until=make.A_DAY, by=owner, on=make.A_DAY
        )
