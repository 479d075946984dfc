from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from instruments.actions.measures import record_climate
from tests import make
from tests.instruments.chains import breaks_of

pytestmark = pytest.mark.django_db


def hub(client, instrument):
    return client.get(reverse("instruments:measures", args=[instrument.stock_number]))


@pytest.fixture
def measured(technician):
    instrument = make.make_instrument()
    make.make_weighing(instrument=instrument)
    make.make_pin_survey(instrument=instrument)
    make.make_pitch_survey(instrument=instrument)
    make.make_wire_survey(instrument=instrument)
    record_climate(
        room="Store",
        temperature_c=Decimal(12),
        humidity_percent=Decimal(68),
        instrument=instrument,
        by=technician,
        on=make.A_DAY,
    )
    return instrument


def test_the_latest_of_each_stands_on_one_page(client, technician, measured):
    client.force_login(technician)
    words = hub(client, measured).content.decode()
    for said in ("Two pins read", "two raises", "3 plain strings pull", "mould can grow", "keys weighed"):
        assert said in words


@pytest.mark.parametrize(("is_whole", "is_said"), [(False, True), (True, False)])
def test_a_sample_points_to_the_fuller_survey_before_it(client, technician, is_whole, is_said):
    client.force_login(technician)
    instrument = make.make_instrument()
    many = [(key, 1, "8") for key in range(20, 77)]
    fuller = make.make_pin_survey(instrument=instrument, readings=many)
    make.make_pin_survey(instrument=instrument, on=make.A_DAY + timedelta(days=9), is_whole=is_whole)
    link = f'A sample of 2; <a href="{fuller.get_absolute_url()}">the survey of 57 pins on 21 March 2026</a>'
    for page in (hub(client, instrument), client.get(instrument.get_absolute_url())):
        assert (link in page.content.decode()) == is_said


def test_a_fuller_survey_after_a_sample_points_nowhere(client, technician, measured):
    client.force_login(technician)
    make.make_pin_survey(
        instrument=measured,
        readings=[(key, 1, "8") for key in range(20, 30)],
        on=make.A_DAY + timedelta(days=9),
    )
    assert "A sample of" not in hub(client, measured).content.decode()


def test_nothing_measured_says_what_to_do(client, technician):
    client.force_login(technician)
    words = hub(client, make.make_instrument()).content.decode()
    for said in ("Not weighed off yet", "Measure pins", "Measure the pitch", "Measure strings"):
        assert said in words


def test_the_instruments_own_page_tells_them_shortly(client, technician, measured):
    client.force_login(technician)
    words = client.get(measured.get_absolute_url()).content.decode()
    assert "Two pins read" in words and "Pins, pitch, strings, climate" in words


def test_what_was_measured_stands_in_the_record(client, owner, measured):
    client.force_login(owner)
    words = client.get(reverse("shop:record_page", args=[measured.stock_number])).content.decode()
    for said in ("Pins of 21 March", "Pitch of 21 March", "Strings of 21 March", "Store, 21 March"):
        assert said in words


def test_earlier_surveys_cost_no_more_to_ask_for(client, technician, measured):
    client.force_login(technician)
    hub(client, measured)
    with CaptureQueriesContext(connection) as before:
        hub(client, measured)
    for _ in range(3):
        make.make_pin_survey(instrument=measured)
        make.make_pitch_survey(instrument=measured)
    with CaptureQueriesContext(connection) as after:
        hub(client, measured)
    assert len(after) == len(before)


@pytest.mark.parametrize("kind", ["pin_survey", "pitch_survey"])
def test_a_survey_can_bear_on_a_statement(client, technician, measured, kind):
    client.force_login(technician)
    statement = make.make_statement(
        instrument=measured, topic="general", text="It has always been kept in tune"
    )
    survey = getattr(measured, f"{kind}s").get()
    sent = {
        "form_token": uuid4().hex,
        "side": "against",
        "strength": "fair",
        "note": "A semitone is not kept",
        "rests_on": f"{kind}-{survey.pk}",
    }
    address = reverse("instruments:evidence_add", args=[measured.stock_number, statement.pk])
    words = client.post(address, sent, follow=True).content.decode()
    assert str(survey) in words and survey.get_absolute_url() in words
    assert breaks_of(measured) == []
