import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("1912", "<strong>1912</strong>"),
        ("about 1912", "<strong>about 1912</strong>"),
        ("1910 to 1914", "<strong>between 1910 and 1914</strong>"),
        ("1910s", "<strong>the 1910s</strong>"),
        ("next Tuesday", "could not be read as a date"),
    ],
)
def test_the_helper_says_what_it_understands(client, buyer, typed, words):
    client.force_login(buyer)
    answer = client.get(reverse("instruments:date_read"), {"made": typed})
    assert words in answer.content.decode()


def test_an_empty_box_gets_an_empty_answer(client, buyer):
    client.force_login(buyer)
    assert client.get(reverse("instruments:date_read"), {"dated": ""}).content.strip() == b""
