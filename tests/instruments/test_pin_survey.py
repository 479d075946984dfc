from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.measures import load_pin_lines, record_pins
from instruments.models import PinLine, PinReading, PinSurvey
from instruments.problems import Blocked
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench(client, technician):
    client.force_login(technician)
    return client


def send(client, instrument, **fields):
    address = reverse("instruments:pin_survey_add", args=[instrument.stock_number])
    sent = {"form_token": uuid4().hex, "unit": "N·m", "measured_on": "2026-04-02"} | fields
    return client.post(address, sent, follow=True)


def words_of(client, survey, **asked):
    return client.get(survey.get_absolute_url(), asked).content.decode()


def test_pins_typed_by_key_and_pasted_are_kept_together(bench):
    fields = {"box_b40": "9,5", "pasted": "C4/1 8.7\n41 7 - 6", "humidity_percent": "48"}
    send(bench, make.make_instrument(), **fields)
    kept = PinReading.objects.values_list("key", "string", "torque")
    assert list(kept) == [
        (40, 1, Decimal("8.7")),
        (40, 2, Decimal("9.5")),
        (41, 1, Decimal(7)),
        (41, 3, Decimal(6)),
    ]
    assert PinSurvey.objects.get().air_words == "48 % RH"


def test_a_survey_sent_twice_is_kept_once(bench):
    instrument, token = make.make_instrument(), uuid4().hex
    for _ in range(2):
        send(bench, instrument, pasted="C4 9", form_token=token)
    assert PinSurvey.objects.count() == 1


# Source: NIST SP 811 (from memory), 30 lbf·in = 3.3895 N·m; band by howardpianoindustries.com.
def test_what_is_read_in_pounds_is_converted_exactly_and_called_by_its_band(bench):
    send(bench, make.make_instrument(), pasted="C4 30 45 100", unit="lbf·in")
    survey = PinSurvey.objects.get()
    assert survey.torques_nm()[40, 1] == Decimal("3.389544870828501")
    words = words_of(bench, survey)
    assert "published as failing" in words and "marginal, judgement" in words and "11.3" in words


def test_the_page_counts_below_the_shops_lines_and_judges_no_plank(bench):
    load_pin_lines()
    words = words_of(bench, make.make_pin_survey(instrument=make.make_instrument()))
    assert "1 of 2" in words and "One dealer guarantees" in words and "no verdict on the plank" in words
    assert "a string can break at any pin" in words


def test_a_later_survey_is_held_against_the_one_before(bench):
    instrument = make.make_instrument()
    make.make_pin_survey(instrument=instrument, readings=[(40, 1, "9"), (41, 1, "8")])
    later = make.make_pin_survey(
        instrument=instrument,
        readings=[(40, 1, "6"), (41, 1, "8"), (42, 1, "8")],
        on=make.A_DAY + timedelta(days=42),
    )
    words = words_of(bench, later)
    assert "After six weeks: of two pins read twice, one gave way." in words
    assert "C4, string 1: 9.0 to 6.0 N·m, gave way" in words and "not read then" in words
    assert "gave way" not in words_of(bench, later, since="none").partition("Every pin")[2]


def test_an_unknown_survey_to_hold_against_falls_back_on_the_last(bench):
    instrument = make.make_instrument()
    survey = make.make_pin_survey(instrument=instrument)
    assert bench.get(survey.get_absolute_url(), {"since": "9" * 40}).status_code == 200


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "No pin has a reading yet"),
        ({"pasted": "C4/9 8"}, "Line 1: "),
        ({"pasted": "C4 90"}, "Was it another unit?"),
        ({"box_a40": "tight"}, "is not a number"),
        ({"box_a40": "90"}, "Was it another unit?"),
        ({"box_a40": "1e99"}, "is not a number"),
        ({"box_a40": "9", "pasted": "C4 8"}, "is given twice, with different figures"),
        ({"pasted": "C4 9", "measured_on": "2999-01-01"}, "has not come yet"),
        ({"pasted": "C4 9", "humidity_percent": "140"}, "is 100 at most"),
        ({"pasted": "C4 9", "unit": "furlong"}, "that is not among the choices"),
    ],
)
def test_what_cannot_be_is_refused_and_kept_as_typed(bench, fields, sentence):
    words = send(bench, make.make_instrument(), **fields).content.decode()
    assert sentence in words
    assert all(typed in words for name, typed in fields.items() if name != "unit")
    assert not PinSurvey.objects.exists()


def test_everything_that_is_wrong_is_said_at_once(bench):
    fields = {"box_a40": "90", "box_b41": "tight", "pasted": "C4/9 8\nD4 99"}
    words = send(bench, make.make_instrument(), **fields).content.decode()
    assert "C4, string 1: 90 N·m is more" in words and "“tight” is not a number" in words
    assert words.count("“tight” is not a number") == 2  # over the table and in its row
    assert "Line 1: " in words and "D4, string 1: 99 N·m is more" in words


def test_the_action_refuses_a_key_that_was_not_made(technician):
    with pytest.raises(Blocked, match="There is no key 88"):
        record_pins(
            instrument=make.make_instrument(),
            readings=[(88, 1, Decimal(9))],
            unit="N·m",
            by=technician,
            on=make.A_DAY,
        )


def test_readings_of_keys_taken_away_by_a_correction_are_left_out(bench):
    instrument = make.make_instrument(key_count=88)
    survey = make.make_pin_survey(instrument=instrument, readings=[(88, 1, "9"), (40, 1, "8")])
    instrument.key_count = 85
    instrument.save()
    assert "One pin read" in words_of(bench, survey)


def test_lines_are_brought_in_once_and_keep_what_the_shop_changed(owner, client):
    assert len(load_pin_lines()) == 5
    client.force_login(owner)
    line = PinLine.objects.first()
    fields = {"torque": "12", "unit": "N·m", "meaning": "Ours", "source": "the owner", "in_use": "on"}
    client.post(reverse("instruments:pin_line_edit", args=[line.pk]), fields | {"form_token": uuid4().hex})
    assert load_pin_lines() == [] and PinLine.objects.get(pk=line.pk).torque == 12
    page = client.get(reverse("instruments:pin_line_edit", args=[line.pk])).content.decode()
    assert "Line changed: below 12 N·m. Ours" in page and owner.get_full_name() in page


@pytest.mark.parametrize(
    ("torque", "sentence"),
    [("90", "another unit"), ("5", "a line at this torque"), ("0", "at least.")],
)
def test_a_line_that_cannot_be_is_refused(owner, client, torque, sentence):
    make.make_pin_line()
    client.force_login(owner)
    fields = {"torque": torque, "unit": "N·m", "meaning": "Ours", "source": "us", "form_token": uuid4().hex}
    words = client.post(reverse("instruments:pin_line_add"), fields).content.decode()
    assert sentence in words and PinLine.objects.count() == 1


def test_a_line_is_added(owner, client):
    client.force_login(owner)
    fields = {"torque": "6,5", "unit": "N·m", "meaning": "Ours", "source": "us", "form_token": uuid4().hex}
    words = client.post(reverse("instruments:pin_line_add"), fields, follow=True).content.decode()
    assert "Pins are counted below 6.5 N·m." in words
