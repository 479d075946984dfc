"""The list of people is bounded, and says so instead of naming a number."""

import pytest

from shop.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.both]


def test_of_more_people_than_anybody_leafs_through_the_list_names_no_number(client, owner, monkeypatch):
    monkeypatch.setattr("shop.pages.MOST_COUNTED", 60)
    client.force_login(owner)
    Person.objects.bulk_create(Person(name=f"Ida Marl-{number}") for number in range(60))
    assert "1 to 50 of 60" in client.get("/people/").content.decode()
    Person.objects.bulk_create(Person(name=f"Otto Vane-{number}") for number in range(5))
    assert "1 to 50 of more than 60" in client.get("/people/").content.decode()
