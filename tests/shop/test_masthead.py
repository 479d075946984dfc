"""The top of a page is drawn once for a person and a place, and the token in it anew each time."""

import re

import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db
TOKEN = re.compile(r'csrfmiddlewaretoken" value="(\w{64})"')


def test_each_page_has_a_token_of_its_own(client, owner):
    client.force_login(owner)
    first, second = (client.get(reverse("stock")).text for _ in range(2))
    assert set(TOKEN.findall(first)) and set(TOKEN.findall(first)).isdisjoint(TOKEN.findall(second))


def test_a_name_with_braces_and_marks_stands_as_it_is(client, owner):
    owner.first_name, owner.last_name = "{token}", "<{0}> & {{x}}"
    owner.save()
    client.force_login(owner)
    page = client.get(reverse("stock")).text
    assert "{token} &lt;{0}&gt; &amp; {{x}}</a>" in page


def test_a_changed_name_stands_on_the_next_page(client, owner):
    client.force_login(owner)
    client.get(reverse("stock"))
    owner.first_name, owner.last_name = "Wilhelmina", "Ashgrove"
    owner.save()
    assert "Wilhelmina Ashgrove" in client.get(reverse("stock")).text


def test_a_token_from_the_masthead_is_taken(client, owner):
    client.force_login(owner)
    client.handler.enforce_csrf_checks = True
    token = TOKEN.search(client.get(reverse("stock")).text)[1]
    assert client.post(reverse("logout"), {"csrfmiddlewaretoken": "a" * 64}).status_code == 403
    assert client.post(reverse("logout"), {"csrfmiddlewaretoken": token}).status_code == 200
