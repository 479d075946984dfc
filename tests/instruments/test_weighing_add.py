from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.weighing import record_weighing
from tests.make import A_DAY, make_instrument

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


def send(client, instrument, **readings):
    sent = {"weighed_on": "2026-04-02", "stage": "as_found", "form_token": uuid4().hex} | readings
    return client.post(reverse("instruments:weighing_add", args=[instrument.stock_number]), sent)


def kept(instrument) -> list:
    weighing = instrument.weighings.get()
    return [(reading.key, reading.down_g, reading.up_g) for reading in weighing.readings.all()]


def test_a_few_keys_make_a_weigh_off(signed_in):
    instrument = make_instrument()
    answer = send(signed_in, instrument, down40="52", up40="28", down41="60,5")
    assert answer.url == instrument.weighings.get().get_absolute_url()
    assert kept(instrument) == [(40, 52, 28), (41, 60.5, None)]


def test_boxes_count_from_the_lowest_key_of_the_instrument(signed_in):
    instrument = make_instrument(first_key=9, key_count=73)
    send(signed_in, instrument, down1="52", up1="28")
    assert kept(instrument) == [(9, 52, 28)]


def test_pasted_lines_and_boxes_go_together(signed_in):
    instrument = make_instrument()
    send(signed_in, instrument, down40="52", up40="28", pasted="C#4 50 26\nD4 50 25")
    assert [key for key, _, _ in kept(instrument)] == [40, 41, 42]


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"down40": "28", "up40": "52"}, "Are they the wrong way round?"),
        ({"up40": "28"}, "The down-weight is missing."),
        ({"down40": "heavy"}, "“heavy” is not a weight in grams."),
        ({"pasted": "C4 52 28\nH4 52 28"}, "Line 2: “h4” is not a key"),
        ({"down40": "52", "up40": "28", "pasted": "C4 50 28"}, "C4 is given twice, with different weights."),
        ({}, "No key has a reading yet."),
    ],
)
def test_bad_readings_are_named_and_nothing_is_saved(signed_in, sent, sentence):
    instrument = make_instrument()
    assert sentence in send(signed_in, instrument, **sent).content.decode()
    assert not instrument.weighings.exists()


def test_typed_weights_stay_when_one_is_refused(signed_in):
    page = send(signed_in, make_instrument(), down40="52", up40="28", down41="x").content.decode()
    assert 'name="down40" value="52"' in page and 'name="down41" value="x"' in page


def test_the_page_judges_the_weigh_off_and_shows_every_reading(signed_in, technician):
    instrument = make_instrument()
    weighing = record_weighing(
        instrument=instrument, readings=[(40, 52, 28), (41, 60, 22)], by=technician, on=A_DAY
    )
    page = signed_in.get(weighing.get_absolute_url()).content.decode()
    assert "One key is out: high down, low up. That is friction." in page
    assert "<svg" in page and "C♯4</th>" in page


def test_a_weigh_off_outlives_a_corrected_compass(signed_in, technician):
    instrument = make_instrument(key_count=88)
    weighing = record_weighing(
        instrument=instrument, readings=[(40, 50, 26), (88, 48, 26)], by=technician, on=A_DAY
    )
    instrument.key_count = 85
    instrument.save()
    assert signed_in.get(weighing.get_absolute_url()).status_code == 200


def test_the_first_weigh_off_is_as_found_and_a_later_one_after_work(signed_in, technician):
    instrument = make_instrument()
    address = reverse("instruments:weighing_add", args=[instrument.stock_number])
    assert signed_in.get(address).context["form"]["stage"].value() == "as_found"
    record_weighing(instrument=instrument, readings=[(40, 50, 26)], by=technician, on=A_DAY, stage="as_found")
    assert signed_in.get(address).context["form"]["stage"].value() == "after_work"


def test_a_day_that_has_not_come_weighs_nothing(signed_in):
    instrument = make_instrument()
    answer = send(signed_in, instrument, down40="52", up40="28", weighed_on="2099-01-01")
    assert "has not come yet" in answer.content.decode() and not instrument.weighings.exists()
