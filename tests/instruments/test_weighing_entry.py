"""A weigh-off that is gone on with: reading by reading, by several people, corrected in sight, and closed."""

from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.urls import reverse

from instruments.actions.weighing import begin_weighing, close_weighing, take_readings
from instruments.models import KeyReading
from instruments.problems import Blocked
from tests.make import A_DAY, make_instrument, make_weighing

pytestmark = pytest.mark.django_db


@pytest.fixture
def weighing(technician):
    return begin_weighing(instrument=make_instrument(), by=technician, on=A_DAY)


@pytest.fixture
def send(client, technician, weighing):
    client.force_login(technician)
    address = reverse("instruments:weighing_entry", args=[weighing.instrument.stock_number, weighing.pk])

    def send_one(token="", **fields):
        return client.post(address, {"form_token": token or uuid4().hex} | fields)

    return send_one


def standing(weighing) -> list:
    return [(row.key, row.down_g, row.up_g) for row in weighing.standing_readings()]


def test_downs_first_and_ups_later_make_one_reading_of_each_key(send, weighing):
    send(down40="52", down41="50")
    send(up40="28")
    assert standing(weighing) == [(40, 52, 28), (41, 50, None)]


def test_same_weights_sent_again_under_another_token_add_nothing(send, weighing):
    send(down40="52", up40="28")
    send(down40="52", up40="28")
    assert KeyReading.objects.count() == 1


def test_corrected_weight_is_a_row_that_replaces_the_first(send, weighing):
    send(down40="52", up40="28")
    send(down40="50")
    first, second = weighing.readings.all()
    assert (second.replaces, second.corrects(first), standing(weighing)) == (first, True, [(40, 50, 28)])


def test_missing_weight_added_is_no_correction(send, weighing):
    send(down40="52")
    send(up40="28")
    first, second = weighing.readings.all()
    assert not second.corrects(first)


def test_dash_says_that_a_key_does_not_return(send, weighing):
    send(down40="52", up40="-")
    assert standing(weighing) == [(40, 52, 0)]


def test_somebody_else_may_go_on(send, weighing, client, owner):
    send(down40="52", up40="28")
    client.force_login(owner)
    send(down41="50", up41="26")
    assert {row.taken_by.username for row in weighing.standing_readings()} == {"tobias", "olive"}


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"up40": "28"}, "The down-weight is missing."),
        ({"down40": "28", "up40": "52"}, "Are they the wrong way round?"),
        ({"down40": "heavy"}, "“heavy” is not a weight in grams."),
        ({}, "No weight was given."),
        ({"pasted": "52\n50", "held": "down", "from_key": "H9"}, "is not a key"),
        ({"pasted": "52\nheavy", "held": "down"}, "Line 2: “heavy” is not a weight in grams."),
    ],
)
def test_wrong_weights_are_named_and_nothing_is_kept(send, weighing, fields, sentence):
    assert sentence in send(**fields).content.decode()
    assert standing(weighing) == []


def test_pasted_column_begins_at_the_key_that_is_named(send, weighing):
    send(pasted="52\n\n50", held="down", from_key="C4")
    assert standing(weighing) == [(40, 52, None), (42, 50, None)]


def test_file_is_read_by_its_headings(send, weighing):
    table = SimpleUploadedFile("touch.csv", b"note;key;DOWN;Up\nx;C4;52,5;28\n;41;50;\n")
    send(file=table)
    assert standing(weighing) == [(40, 52.5, 28), (41, 50, None)]


def test_file_without_its_headings_is_told_which_are_missing(send, weighing):
    page = send(file=SimpleUploadedFile("touch.csv", b"note;weight\nC4;52\n")).content.decode()
    assert "These headings are missing: Key, Down." in page


def test_closed_weigh_off_takes_no_more(send, weighing, technician):
    send(down40="52", up40="28")
    close_weighing(weighing=weighing, by=technician)
    assert "This weigh-off is closed" in send(down40="50").content.decode()
    assert standing(weighing) == [(40, 52, 28)]


def test_closing_by_its_button_happens_once(client, send, weighing):
    send(down40="52", up40="28")
    address = reverse("instruments:weighing_close", args=[weighing.instrument.stock_number, weighing.pk])
    form = {"form_token": "ab" * 16}
    first, second = client.post(address, form), client.post(address, form)
    weighing.refresh_from_db()
    assert (first.url, second.url, weighing.is_open) == (weighing.get_absolute_url(),) * 2 + (False,)


def test_empty_weigh_off_cannot_be_closed(weighing, technician):
    with pytest.raises(Blocked, match="No key has a reading yet"):
        close_weighing(weighing=weighing, by=technician)


def test_whole_weigh_off_is_closed_as_it_is_written_down(technician):
    weighing = make_weighing(instrument=make_instrument())
    with pytest.raises(Blocked, match="closed"):
        take_readings(weighing=weighing, readings=[(40, 50, 25)], by=technician)


def test_database_keeps_one_first_reading_of_a_key_and_one_successor(weighing, technician):
    row = take_readings(weighing=weighing, readings=[(40, 50, 25)], by=technician).rows[0]
    for twin in (
        KeyReading(weighing=weighing, key=40, down_g=51),
        KeyReading(weighing=weighing, key=40, down_g=51, replaces=row),
    ):
        if twin.replaces:
            KeyReading.objects.create(weighing=weighing, key=40, down_g=49, replaces=row)
        with pytest.raises(IntegrityError), transaction.atomic():
            twin.save()


def test_open_weigh_off_is_offered_for_going_on(client, send, weighing):
    page = client.get(reverse("instruments:weighing_add", args=[weighing.instrument.stock_number]))
    assert "Go on with it" in page.content.decode()


def test_boxes_hold_what_was_read(client, send, weighing):
    send(down40="52", up40="-")
    address = reverse("instruments:weighing_entry", args=[weighing.instrument.stock_number, weighing.pk])
    page = client.get(address).content.decode()
    assert 'name="down40" value="52"' in page and 'name="up40" value="–"' in page
    assert "1 of 85 keys have both weights." in page


def test_beginning_needs_no_reading_and_leads_to_the_boxes(client, technician):
    client.force_login(technician)
    instrument = make_instrument()
    form = {"weighed_on": "2026-04-02", "stage": "as_found", "form_token": uuid4().hex, "begin": "yes"}
    answer = client.post(reverse("instruments:weighing_add", args=[instrument.stock_number]), form)
    weighing = instrument.weighings.get()
    assert weighing.is_open and answer.url.endswith(f"/weigh-off/{weighing.pk}/readings/")
