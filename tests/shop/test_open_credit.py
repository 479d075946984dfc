"""Cards with credit left are kept beside the entries by the database, and the Books add up those alone."""

from random import Random

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.models import Sum

from shop.books import we_owe
from shop.db.open_credit import (
    TABLE,
    entries_of_open_cards,
    install_open_credit,
    open_credit_faults,
)
from shop.models import CreditEntry, Person
from shop.verification import Verification
from tests import make
from tests.make_sale import make_sale

pytestmark = [pytest.mark.django_db, pytest.mark.both]


def enter(person, promise, amount_minor: int) -> CreditEntry:
    kind = "from_promise" if amount_minor > 0 else "to_promise"
    row = {"person": person, "promise": promise, "kind": kind, "amount_minor": amount_minor}
    return CreditEntry(**row, entered_on=make.A_DAY, recorded_by=make.somebody())


def kept() -> set[int]:
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT person_id FROM {TABLE}")
        return {key for (key,) in cursor.fetchall()}


def by_the_entries() -> set[int]:
    sums = CreditEntry.objects.order_by().values("person").annotate(sum=Sum("amount_minor")).exclude(sum=0)
    return set(sums.values_list("person", flat=True))


@pytest.fixture
def promise():
    return make_sale().promise


@pytest.mark.parametrize("seed", range(6))
def test_a_card_is_kept_as_long_as_its_entries_do_not_come_to_nothing(promise, seed):
    chance, people = Random(seed), [make.make_person(name=f"Buyer {number}") for number in range(4)]
    for _ in range(12):
        rows = [
            enter(chance.choice(people), promise, chance.choice((-200, -100, 100, 200)))
            for _ in range(chance.randrange(1, 4))
        ]
        if chance.random() < 0.5:
            CreditEntry.objects.bulk_create(rows)
        else:
            for row in rows:
                row.save()
        assert kept() == by_the_entries()
    assert list(open_credit_faults()) == []
    assert set(entries_of_open_cards().values_list("person", flat=True)) == kept()


def test_what_is_taken_back_leaves_no_card_behind(promise):
    person = make.make_person()
    with pytest.raises(IntegrityError), transaction.atomic():
        enter(person, promise, 100).save()
        CreditEntry.objects.bulk_create([enter(person, promise, 0)])
    assert kept() == set()


def test_the_books_say_of_joined_cards_what_all_their_entries_come_to(promise):
    standing, double, other = (make.make_person(name=name) for name in ("Priya", "P. Ravenhall", "Nell"))
    for person, amount in ((standing, 300), (double, -100), (other, 100), (other, -100)):
        enter(person, promise, amount).save()
    Person.objects.filter(pk=double.pk).update(merged_into=standing)
    assert kept() == {standing.pk, double.pk}
    owed = [(each.who, each.amount_minor) for each in we_owe(make.A_DAY).rows if each.words == "in credit"]
    assert owed == [("Priya", 200)]


def test_a_card_that_is_missed_is_a_fault_and_is_found_again_by_migrate(promise):
    person = make.make_person(name="Priya Ravenhall")
    enter(person, promise, 4_200).save()
    assert [
        (each.who, each.amount_minor) for each in we_owe(make.A_DAY).rows if each.words == "in credit"
    ] == [(person.name, 4_200)]
    with connection.cursor() as cursor:
        cursor.execute(f"DELETE FROM {TABLE}")
    (fault,) = open_credit_faults()
    assert fault.startswith(f"shop.person {person.pk}: ") and fault in list(Verification().faults())
    install_open_credit(using="default")
    assert kept() == {person.pk} and list(open_credit_faults()) == []
