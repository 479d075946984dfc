"""A new card that is like one on file is asked about; nobody is entered twice without a word."""

from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils.timezone import localdate

from shop.models import Person, Promise, Sale
from tests import make

pytestmark = pytest.mark.django_db
NEW = {"new_name": "Hester Blount", "new_telephone": "+44 1632 960144", "new_email": "hb@sorrel.example"}


@pytest.fixture
def known():
    return make.make_person(name="Hester Blount", telephone="01632 960 144", email="HB@sorrel.example")


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def hold(desk, instrument=None, **typed):
    instrument = instrument or make.make_instrument()
    form = {"until": f"{localdate()}", "method": "card", "form_token": uuid4().hex}
    return desk.post(reverse("shop:hold_place", args=[instrument.stock_number]), form | typed)


@pytest.mark.parametrize(
    ("card", "what"),
    [
        (NEW, "name and telephone number and e-mail address"),
        ({"new_name": "blount, hester"}, "name"),
        ({"new_name": "H. B.", "new_telephone": "01632960144"}, "telephone number"),
        ({"new_name": "H. B.", "new_email": "hb@SORREL.example"}, "e-mail address"),
    ],
)
def test_it_says_who_is_there_already_and_what_they_share(desk, known, card, what):
    answer = hold(desk, **card)
    form = answer.context["form"]
    sentence = f"There is already Hester Blount with this {what}. Choose the card, or tick"
    assert sentence in str(form.errors["person"]) and 'name="is_another"' in answer.content.decode()
    assert [row.key for row in form["person"].shown.rows] == [str(known.pk)]
    assert Person.objects.count() == 1 and not Promise.objects.exists()


def test_the_card_is_chosen_or_another_is_made(desk, known):
    hold(desk, person=known.pk, **NEW)
    assert Promise.objects.get().person == known and Person.objects.count() == 1
    hold(desk, is_another="on", **NEW)
    assert Person.objects.count() == 2 and Promise.objects.order_by("pk").last().person != known


def test_somebody_like_nobody_is_not_asked_about(desk, known):
    answer = hold(desk, new_name="Ansel Quarrie", new_telephone="01632 960 177")
    assert answer.status_code == 302 and Person.objects.count() == 2


def test_a_sale_asks_too(desk, known):
    instrument = make.make_instrument()
    form = {"price_minor": "1800", "method": "card", "form_token": uuid4().hex} | NEW
    answer = desk.post(reverse("shop:sale_record", args=[instrument.stock_number]), form)
    assert "There is already Hester Blount" in answer.content.decode() and not Sale.objects.exists()
