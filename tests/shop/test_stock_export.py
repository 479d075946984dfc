import csv
from io import StringIO

import pytest
from django.urls import reverse

from instruments.actions.intake import create_instrument
from tests.make import A_DAY, make_price, make_purchase

pytestmark = pytest.mark.django_db


def exported(client, **asked) -> list[dict]:
    answer = client.get(reverse("shop:stock_export"), asked)
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(StringIO(text)))


@pytest.fixture
def priced(buyer):
    instrument = create_instrument(
        by=buyer, on=A_DAY, kind="upright", maker="Castlemere", made="1912~", height_cm="122.5"
    )
    make_price(instrument=instrument, amount_minor=180_050)
    make_purchase(instrument=instrument, price_minor=23_456)
    return instrument


def test_numbers_come_out_as_numbers_and_words_as_words(client, buyer, priced):
    client.force_login(buyer)
    row = exported(client)[0]
    assert (row["height cm"], row["asking price"], row["made"]) == ("122.5", "1800.50", "about 1912")


def test_the_export_is_what_the_list_shows(client, buyer, priced):
    client.force_login(buyer)
    create_instrument(by=buyer, on=A_DAY, kind="grand", maker="Orrin Vale")
    assert [row["maker"] for row in exported(client, kind="upright")] == ["Castlemere"]


def test_what_it_cost_is_in_it_for_those_who_may_see_costs(client, buyer, priced):
    client.force_login(buyer)
    assert exported(client)[0]["price paid"] == "234.56"


def test_what_it_cost_is_not_in_it_for_others(client, technician, priced):
    client.force_login(technician)
    assert "price paid" not in exported(client)[0]


def test_a_formula_is_kept_from_running(client, buyer):
    create_instrument(by=buyer, on=A_DAY, kind="upright", maker='=HYPERLINK("http://x")')
    client.force_login(buyer)
    assert exported(client)[0]["maker"].startswith("'=")
