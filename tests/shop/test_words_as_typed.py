"""What is typed is decoded once, and what is done is read from the body alone."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Person
from tests import make

CODED = [
    "%3Cb%3E",
    "%253Cb%253E",
    "&lt;b&gt;",
    "&amp;lt;",
    r"\u003cb\u003e",
    "=3Cb=3E",
    "+1%2B1",
    "%00 %0d%0a",
]
ADD = "shop:person_add"
CARD = {"name": "Odo Wren", "address": "2 Larch Row", "form_token": "0" * 32}


@pytest.fixture
def at_the_desk(client, seller):
    client.force_login(seller)
    return client


@pytest.mark.django_db
@pytest.mark.parametrize("typed", CODED)
def test_what_reads_like_a_coding_is_kept_as_it_was_typed(at_the_desk, typed):
    at_the_desk.post(reverse(ADD), CARD | {"note": f"It said {typed} there"})
    assert Person.objects.get().note == f"It said {typed} there"


@pytest.mark.django_db
@pytest.mark.parametrize("typed", CODED)
def test_an_address_is_decoded_once(at_the_desk, typed):
    make.make_instrument(maker="Halden & Rook")
    page = at_the_desk.get(reverse("stock"), {"q": typed})
    assert page.context["form"]["q"].value() == typed


@pytest.mark.django_db
def test_what_is_done_is_read_from_the_body_alone(at_the_desk):
    at_the_desk.post(f"{reverse(ADD)}?name=Odo+Wren", CARD | {"name": ""})
    assert not Person.objects.exists()
    other = CARD | {"form_token": "1" * 32}
    at_the_desk.post(f"{reverse(ADD)}?name=Somebody+Else&note=from+the+address", other)
    assert (Person.objects.get().name, Person.objects.get().note) == ("Odo Wren", "")


@pytest.mark.django_db
def test_of_a_name_sent_twice_one_value_is_looked_at_and_the_same_is_kept(at_the_desk):
    at_the_desk.post(reverse(ADD), CARD | {"name": ["Odo Wren", ""]})
    assert not Person.objects.exists()  # the last one counts, for the look and for the keeping
    at_the_desk.post(reverse(ADD), CARD | {"name": ["", "Odo Wren"], "form_token": "1" * 32})
    assert Person.objects.get().name == "Odo Wren"


@pytest.mark.django_db
def test_the_guard_against_forged_forms_is_not_read_from_the_address(seller):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(seller)
    strict.get(reverse(ADD))
    token = strict.cookies["csrftoken"].value
    assert strict.post(f"{reverse(ADD)}?csrfmiddlewaretoken={token}", CARD).status_code == 403
    assert strict.post(reverse(ADD), CARD | {"csrfmiddlewaretoken": token}).status_code == 302
