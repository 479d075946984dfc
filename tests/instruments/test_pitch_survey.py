from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.measures import set_house_pitch
from instruments.models import PitchReading, PitchSurvey, RaiseChoice
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench(client, technician):
    client.force_login(technician)
    return client


def send(client, instrument, **fields):
    address = reverse("instruments:pitch_survey_add", args=[instrument.stock_number])
    sent = {
        "form_token": uuid4().hex,
        "unit": "flat",
        "stage": "as_found",
        "a4_hz": "440",
        "measured_on": "2026-04-02",
    }
    return client.post(address, sent | fields, follow=True)


def words_of(client, survey, **asked):
    return client.get(survey.get_absolute_url(), asked).content.decode()


def test_cents_flat_are_typed_without_a_minus(bench):
    send(bench, make.make_instrument(), **{"box_a49": "46"})
    assert PitchSurvey.objects.get().hertz()[49] == pytest.approx(428.46, abs=0.01)


# Source: 435 Hz lies 19.786 cents below 440 (1200 log2(f2/f1), from memory).
def test_hertz_are_held_against_the_surveys_own_a4(bench):
    send(bench, make.make_instrument(), unit="hz", pasted="A4 435")
    survey = PitchSurvey.objects.get()
    assert "−19.8" in words_of(bench, survey) and "20 cents flat" in words_of(bench, survey)
    send(bench, make.make_instrument(), unit="hz", pasted="A4 435", a4_hz="435")
    assert "in pitch" in words_of(bench, PitchSurvey.objects.first())


def test_the_shops_own_a4_is_offered_and_kept_with_the_survey(bench, owner):
    set_house_pitch(a4_hz=Decimal(442), reason="The hall tunes to it", by=owner)
    instrument = make.make_instrument()
    page = bench.get(reverse("instruments:pitch_survey_add", args=[instrument.stock_number]))
    assert 'value="442"' in page.content.decode()
    survey = make.make_pitch_survey(instrument=instrument)
    set_house_pitch(a4_hz=Decimal(440), reason="Back again", by=owner)
    assert "A4 at 442 Hz" in words_of(bench, survey)


def test_the_page_plans_the_raise_and_does_not_judge_the_ends(bench):
    words = words_of(bench, make.make_pitch_survey(instrument=make.make_instrument()))
    assert "Bass 30 cents flat, tenor 46 cents flat, treble 60 cents flat, on average." in words
    assert "About 60 cents flat: two raises, then the tuning." in words
    assert "the ends of the keyboard are not judged" in words and "A string can break" in words
    assert "In tune with itself" in words and "Gradual" in words


def test_a_piano_of_our_days_is_not_planned_as_an_old_one(bench):
    instrument = make.make_instrument(made="2015")
    words = words_of(bench, make.make_pitch_survey(instrument=instrument, readings=[(49, -46)]))
    assert "one raise" in words and "on an old piano" not in words.partition("Planned by")[0]


def test_what_the_owner_chose_is_written_down(bench):
    survey = make.make_pitch_survey(instrument=make.make_instrument())
    address = reverse("instruments:raise_choice", args=[survey.instrument.stock_number, survey.pk])
    sent = {"form_token": uuid4().hex, "way": "gradual", "note": "Two visits"}
    words = bench.post(address, sent, follow=True).content.decode()
    assert "Chosen: gradual. Two visits" in words and RaiseChoice.objects.count() == 1


def test_no_choice_is_asked_for_beside_the_buttons(bench):
    survey = make.make_pitch_survey(instrument=make.make_instrument())
    address = reverse("instruments:raise_choice", args=[survey.instrument.stock_number, survey.pk])
    words = bench.post(address, {"form_token": uuid4().hex, "note": "Two visits"}).content.decode()
    assert "is still empty" in words and "Two visits" in words and not RaiseChoice.objects.exists()


def test_drift_is_told_with_what_the_air_would_explain(bench):
    instrument = make.make_instrument()
    make.make_pitch_survey(instrument=instrument, readings=[(49, 0)], humidity_percent=Decimal(50))
    later = make.make_pitch_survey(
        instrument=instrument,
        readings=[(49, -9)],
        humidity_percent=Decimal(40),
        stage="settled",
        on=make.A_DAY + timedelta(days=30),
    )
    words = words_of(bench, later)
    assert "Since then it fell by 9 cents on average, of one note." in words
    assert "rule of thumb expects −8 cents at A4" in words


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "No note has a reading yet"),
        ({"box_a49": "437.2"}, "another unit"),
        ({"box_a49": "-4"}, "counted above 0"),
        ({"unit": "hz", "pasted": "A4 261.6"}, "another note"),
        ({"pasted": "A9 4"}, "Line 1"),
        ({"pasted": "A4 4", "a4_hz": "44"}, "is 380 at least"),
        ({"pasted": "A4 4", "a4_hz": ""}, "is still empty"),
        ({"pasted": "A4 4", "temperature_c": "99"}, "is 60 at most"),
    ],
)
def test_what_cannot_be_is_refused_and_kept_as_typed(bench, fields, sentence):
    words = send(bench, make.make_instrument(), **fields).content.decode()
    assert sentence in words and not PitchReading.objects.exists()
    assert all(typed in words for typed in fields.values())


def test_the_house_pitch_is_set_with_its_reason_and_keeps_its_history(client, owner):
    client.force_login(owner)
    for a4_hz, reason in (("442", "The hall"), ("440", "Back")):
        sent = {"form_token": uuid4().hex, "a4_hz": a4_hz, "reason": reason}
        words = client.post(reverse("instruments:house_pitch"), sent, follow=True).content.decode()
    assert "A4 at 440 Hz. Back" in words and "A4 at 442 Hz. The hall" in words
