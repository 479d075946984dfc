from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.states import Part
from tests.make import make_instrument

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


def address(instrument) -> str:
    return reverse("instruments:findings_record", args=[instrument.stock_number])


def send(client, instrument, **found):
    sent = {"found_on": "2026-03-21", "form_token": uuid4().hex}
    return client.post(address(instrument), sent | found)


def test_every_part_stands_on_the_page_in_walking_order(signed_in):
    page = signed_in.get(address(make_instrument())).content.decode()
    places = [page.index(f'id="part-{part.value}"') for part in Part]
    assert places == sorted(places)


def test_only_what_was_touched_is_saved(signed_in):
    instrument = make_instrument()
    send(signed_in, instrument, **{"hammers-condition": "repair", "hammers-note": "grooved", "case-note": ""})
    finding = instrument.findings.get()
    assert (finding.part, finding.condition, finding.note) == ("hammers", "repair", "grooved")


def test_the_page_says_what_was_found_last(signed_in):
    instrument = make_instrument()
    send(signed_in, instrument, **{"strings-condition": "attend", "strings-note": "rust at the bass"})
    assert "Attend, 21 March 2026: rust at the bass" in signed_in.get(address(instrument)).content.decode()


def test_a_note_without_a_condition_is_asked_about_and_kept(signed_in):
    instrument = make_instrument()
    page = send(signed_in, instrument, **{"lid-note": "hinge loose"}).content.decode()
    assert "Choose what you found as well." in page and "hinge loose" in page
    assert not instrument.findings.exists()


def test_keys_that_are_not_on_this_keyboard_are_refused(signed_in):
    instrument = make_instrument(key_count=85)
    sent = {"keys-condition": "repair", "keys-keys": "86"}
    assert "There is no key 86 on this keyboard" in send(signed_in, instrument, **sent).content.decode()


def test_nothing_touched_is_said_and_not_saved(signed_in):
    instrument = make_instrument()
    assert "Nothing was chosen yet" in send(signed_in, instrument).content.decode()


def test_two_parts_are_saved_together_or_not_at_all(signed_in):
    instrument = make_instrument()
    sent = {"case-condition": "sound", "keys-condition": "repair", "keys-keys": "none"}
    send(signed_in, instrument, **sent)
    assert not instrument.findings.exists()
