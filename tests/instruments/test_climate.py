from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.measures import record_climate
from instruments.models import ClimateReading
from instruments.problems import Blocked
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench(client, technician):
    client.force_login(technician)
    return client


def read(by, room="Workshop", temperature=20, humidity=50, on=make.A_DAY, **more):
    return record_climate(
        room=room,
        temperature_c=Decimal(temperature),
        humidity_percent=Decimal(humidity),
        by=by,
        on=on,
        **more,
    )


def page(client, **asked):
    return client.get(reverse("instruments:climate"), asked).content.decode()


def send(client, **fields):
    sent = {
        "form_token": uuid4().hex,
        "whose": "ours",
        "room": "Workshop",
        "temperature_c": "20",
        "humidity_percent": "50",
        "read_on": "2026-04-02",
    }
    return client.post(reverse("instruments:climate_add"), sent | fields, follow=True)


# Source: Wood Handbook eq. 4-5 (derived, 9.271 %); dew point in the WMO form (derived, 9.255 °C).
def test_a_room_is_told_with_its_moisture_and_dew_point(bench):
    words = send(bench).content.decode()
    assert "about 9.3 % moisture" in words and "9.3 °C" in words and "guidance" in words


# Source: mould above 65 % at 10 to 35 °C, UK National Archives; below 30 % wood, D. Rose, pianotech 2005.
@pytest.mark.parametrize(("humidity", "word"), [(68, "mould can grow"), (25, "risk of cracking"), (50, "")])
def test_damp_and_dry_rooms_are_warned_of(bench, technician, humidity, word):
    read(technician, humidity=humidity)
    assert (word in page(bench)) and (("Take care" in page(bench)) == bool(word))


def test_each_room_is_shown_by_its_last_reading(bench, technician):
    read(technician, humidity=41)
    read(technician, humidity=42)
    read(technician, room="Store", humidity=43)
    rooms = page(bench).partition("What a move")[0]
    assert "42 % RH" in rooms and "43 % RH" in rooms and "41 % RH" not in rooms


# Source: derived from eq. 4-5 and table 13-5 (Sitka spruce from memory); pitch by D. Rose's rule of thumb.
def test_what_a_move_will_do_is_reckoned_from_two_readings(bench, technician):
    before = read(technician, humidity=65)
    after = read(technician, room="Salt Lane, front room", humidity=35, whose="customer")
    words = page(bench, before=before.pk, after=after.pk)
    assert "give off about 5.0 % of its dry weight" in words and "−7.4 mm in 1000 mm" in words
    assert "A4 −24 cents" in words and "rule of thumb" in words and "30 points" in words


@pytest.mark.parametrize("asked", [{"before": "9" * 40, "after": "1"}, {"before": "x"}, {"after": ""}])
def test_a_move_from_nowhere_is_answered_with_a_sentence(bench, technician, asked):
    read(technician)
    answer = bench.get(reverse("instruments:climate"), asked)
    assert answer.status_code == 200 and "Not saved yet" in answer.content.decode()


def test_a_reading_beside_an_instrument_shows_among_its_measurements(bench):
    instrument = make.make_instrument()
    words = send(bench, beside=instrument.stock_number).content.decode()
    assert "Workshop: 20 °C, 50 % RH." in words and "Measurements" in words


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"humidity_percent": "101"}, "is 100 at most"),
        ({"temperature_c": "-50"}, "at least."),
        ({"temperature_c": "warm"}, "Give a number"),
        ({"room": ""}, "is still empty"),
        ({"beside": "99-999"}, "There is no 99-999 in stock."),
        ({"read_on": "2999-01-01"}, "has not come yet"),
    ],
)
def test_air_that_cannot_be_is_refused_and_kept_as_typed(bench, fields, sentence):
    words = send(bench, **fields).content.decode()
    assert sentence in words and not ClimateReading.objects.exists()
    assert all(typed in words for typed in fields.values())


def test_the_action_refuses_it_too(technician):
    with pytest.raises(Blocked, match="between 0 and 100 %"):
        read(technician, humidity=101)


def test_dry_air_without_any_water_breaks_nothing(bench, technician):
    read(technician, humidity=0)
    assert "risk of cracking" in page(bench)
