from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.actions.identity import correct_identity
from instruments.actions.moves import move_instrument
from tests.make import A_DAY, make_instrument

pytestmark = pytest.mark.django_db


def send(client, instrument, **moved):
    moved = {"place": "showroom", "note": "by the window", "moved_on": "2026-03-21"} | moved
    address = reverse("instruments:move_record", args=[instrument.stock_number])
    return client.post(address, moved | {"form_token": uuid4().hex})


def test_a_move_changes_the_place_and_is_logged(client, technician):
    client.force_login(technician)
    instrument = make_instrument()
    send(client, instrument)
    instrument.refresh_from_db()
    assert (instrument.place, instrument.moves.get().note) == ("showroom", "by the window")


def test_a_move_cannot_lie_ahead(client, technician):
    client.force_login(technician)
    instrument = make_instrument()
    tomorrow = timezone.localdate() + timedelta(days=1)
    assert "has not come yet" in send(client, instrument, moved_on=tomorrow.isoformat()).content.decode()
    assert not instrument.moves.exists()


def test_a_move_leaves_alone_what_was_corrected_since_the_page_was_opened(technician):
    opened = make_instrument()
    correct_identity(instrument=opened, by=technician, model="No. 5")
    move_instrument(instrument=opened, place="store", by=technician, on=A_DAY)
    newest = opened.history.first()
    assert (newest.model, newest.place, opened.place) == ("No. 5", "store", "store")
