from uuid import uuid4

import pytest
from django.urls import reverse

from tests.make import make_instrument

pytestmark = pytest.mark.django_db
WHOLE = {
    "kind": "upright",
    "maker": "Halden & Rook",
    "keys": "85",
    "natural_covering": "celluloid",
    "sharp_covering": "stained",
}


@pytest.fixture
def signed_in(client, buyer):
    client.force_login(buyer)
    return client


def address(instrument) -> str:
    return reverse("instruments:identity_edit", args=[instrument.stock_number])


def send(client, instrument, **fields):
    return client.post(address(instrument), WHOLE | {"form_token": uuid4().hex} | fields)


def test_plain_words_become_edtf(signed_in):
    instrument = make_instrument()
    assert send(signed_in, instrument, made="about 1912").status_code == 302
    instrument.refresh_from_db()
    assert instrument.made == "1912~"


def test_the_page_shows_what_was_understood_of_the_date(signed_in):
    page = signed_in.get(address(make_instrument(made="1910/1914"))).content.decode()
    assert "Understood as <strong>between 1910 and 1914</strong>" in page


def test_a_measure_in_metres_is_refused_and_kept(signed_in):
    instrument = make_instrument()
    page = send(signed_in, instrument, height_cm="1,22", model="No. 5").content.decode()
    assert "1,22 is not a measure of a piano in centimetres" in page
    assert 'value="1,22"' in page and 'value="No. 5"' in page


def test_a_comma_is_read_as_a_decimal_point(signed_in):
    instrument = make_instrument()
    send(signed_in, instrument, height_cm="122,5")
    instrument.refresh_from_db()
    assert str(instrument.height_cm) == "122.5"


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"keys": "other"}, "How many keys has it?"),
        ({"keys": "other", "key_count_other": "73"}, "Which is its lowest key?"),
        ({"keys": "other", "key_count_other": "98", "first_note": "A0"}, "No piano has more than 97 keys."),
        ({"keys": "other", "key_count_other": "73", "first_note": "H1"}, "is not a note"),
        ({"keys": "88", "first_note": "F1"}, "is “another number”"),
        ({"keys": "other", "key_count_other": "88", "first_note": "C2"}, "would run past"),
        ({"made_basis": "serial"}, "but not the date"),
        ({"height_cm": "NaN"}, "Give a number, such as 122 or 122.5."),
        ({"maker": "  "}, "is still empty"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(signed_in, fields, sentence):
    instrument = make_instrument()
    assert sentence in send(signed_in, instrument, **fields).content.decode()
    assert instrument.history.count() == 1


def test_an_odd_compass_is_kept(signed_in):
    instrument = make_instrument()
    send(signed_in, instrument, keys="other", key_count_other="73", first_note="F1")
    instrument.refresh_from_db()
    assert (instrument.first_key, instrument.key_count) == (9, 73)


def test_only_those_who_log_instruments_correct_them(client, technician):
    client.force_login(technician)
    assert client.get(address(make_instrument())).status_code == 403
