from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.models import WireReading, WireSurvey
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench(client, technician):
    client.force_login(technician)
    return client


def send(client, instrument, **fields):
    address = reverse("instruments:wire_survey_add", args=[instrument.stock_number])
    sent = {"form_token": uuid4().hex, "size": "mm", "a4_hz": "440", "measured_on": "2026-04-02"}
    return client.post(address, sent | fields, follow=True)


# Source: derived from Mersenne and Taylor: 400 mm of 1 mm at 440 Hz pulls 763.91 N, 77.90 kgf, 171.74 lbf.
def test_the_page_says_what_each_string_pulls_and_all_together(bench):
    words = send(bench, make.make_instrument(), lines="A4 400 1").content.decode()
    assert ">764<" in words and ">77.9<" in words and ">172<" in words and ">0.686<" in words
    assert "3 plain strings measured; together 2,292 N" in words
    assert "many tonnes" in words and "covered strings and the others are not in it" in words


# Source: pianotech 12 Jun 2003: American 15.5 is .036 in (0.914 mm), metric 15.5 is 0.900 mm.
@pytest.mark.parametrize(("table", "diameter"), [("american", "0.914"), ("metric", "0.9")])
def test_a_gauge_is_kept_in_millimetres_by_its_table(bench, table, diameter):
    send(bench, make.make_instrument(), size=table, lines="C5 335 15.5 x2")
    kept = WireReading.objects.get()
    assert (kept.diameter_mm, kept.strings, kept.given_as) == (
        Decimal(diameter),
        2,
        f"gauge 15.5, {table} table",
    )


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"lines": ""}, "is still empty"),
        ({"lines": "A1 1200 1.0 covered"}, "core and its wrap are needed"),
        ({"lines": "A4 400 18"}, "gauge number, or a covered string"),
        ({"lines": "A4 9999 1"}, "speaking length"),
        ({"lines": "A4 400 24", "size": "american"}, "Published lists disagree on gauge 24"),
        ({"lines": "A4 400 1\n49 401 1"}, "A4 is given 2 times"),
        ({"lines": "C8 50 0.8"}, "There is no C8"),
        ({"lines": "A4 400 1", "measured_on": "2999-01-01"}, "has not come yet"),
    ],
)
def test_what_cannot_be_is_refused_and_kept_as_typed(bench, fields, sentence):
    words = send(bench, make.make_instrument(), **fields).content.decode()
    assert sentence in words and not WireSurvey.objects.exists()
    assert fields["lines"] in words
