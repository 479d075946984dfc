"""The papers of a customer's own instrument stay byte for byte what the customer was given."""

import pytest
from django.urls import reverse

from shop.actions.taken_in import hand_back
from shop.models import Paper, Person, ShopProfile
from tests import make
from tests.reading import Reading, printed

pytestmark = pytest.mark.django_db


@pytest.fixture
def taken_in():
    return make.make_taken_in()


def pressed(client, name: str, taken_in) -> bytes:
    return printed(client, reverse(name, args=[taken_in.number])).content


def everything_changes():
    Person.objects.update(name="Somebody Else", address="Elsewhere")
    ShopProfile.objects.update_or_create(pk=1, defaults={"name": "Another Shop"})


def test_the_receipt_is_kept_as_it_was_printed_first(client, seller, taken_in):
    client.force_login(seller)
    first = pressed(client, "shop:taken_in_receipt", taken_in)
    everything_changes()
    assert pressed(client, "shop:taken_in_receipt", taken_in) == first
    paper = Paper.objects.get()
    assert (paper.kind, paper.number, paper.made_by) == ("taken_in", taken_in.number, seller)
    assert paper.file.read() == first and "Somebody Else" not in Reading(first).text


def test_the_paper_of_handing_back_is_a_draft_until_it_is_home(client, seller, taken_in):
    client.force_login(seller)
    assert pressed(client, "shop:taken_in_handed_back", taken_in)[:4] == b"%PDF"
    assert not Paper.objects.exists()
    hand_back(taken_in=taken_in, to="Wilf Arden", by=seller, on=make.A_DAY)
    first = pressed(client, "shop:taken_in_handed_back", taken_in)
    everything_changes()
    assert pressed(client, "shop:taken_in_handed_back", taken_in) == first
    assert Paper.objects.get().kind == "handed_back" and "Wilf Arden" in Reading(first).text
