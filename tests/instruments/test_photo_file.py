import hashlib

import pytest
from django.contrib.auth.models import User
from django.urls import reverse

from instruments.actions.photos import add_photos
from instruments.actions.waiting_photos import keep_waiting
from instruments.models import WaitingPhoto
from tests.make import make_instrument
from tests.pictures import prepared

pytestmark = pytest.mark.django_db


@pytest.fixture
def photo(technician):
    return add_photos(instrument=make_instrument(), prepared=[prepared("front.jpg")], by=technician).new[0]


def address(photo, size: str) -> str:
    return reverse("instruments:photo_file", args=[photo.instrument.stock_number, photo.pk, size])


@pytest.mark.parametrize(
    ("size", "media_type"), [("thumb", "image/webp"), ("page", "image/webp"), ("print", "image/jpeg")]
)
def test_each_size_is_shown_to_those_who_signed_in(client, technician, photo, size, media_type):
    client.force_login(technician)
    answer = client.get(address(photo, size))
    assert (answer.status_code, answer["Content-Type"]) == (200, media_type)


def test_the_original_comes_as_it_was_under_its_own_name(client, technician, photo):
    client.force_login(technician)
    answer = client.get(address(photo, "original"))
    assert hashlib.sha256(b"".join(answer.streaming_content)).hexdigest() == photo.sha256
    assert answer["Content-Disposition"] == 'attachment; filename="front.jpg"'


def test_the_original_needs_a_role(client, photo):
    client.force_login(User.objects.create_user("nobody"))
    assert client.get(address(photo, "original")).status_code == 403


def test_a_stranger_is_sent_to_sign_in(stranger, photo):
    assert stranger.get(address(photo, "thumb")).status_code == 302


def test_there_are_no_other_sizes(client, technician, photo):
    client.force_login(technician)
    assert client.get(address(photo, "enormous")).status_code == 404


def test_a_photo_is_found_only_under_its_own_instrument(client, technician, photo):
    client.force_login(technician)
    other = make_instrument()
    wrong = reverse("instruments:photo_file", args=[other.stock_number, photo.pk, "thumb"])
    assert client.get(wrong).status_code == 404


def test_a_waiting_photo_is_shown_to_nobody_else(client, buyer, owner):
    keep_waiting(form_token="a" * 32, prepared=[prepared()], by=buyer)
    waiting = reverse("instruments:waiting_photo_file", args=[WaitingPhoto.objects.get().pk])
    client.force_login(owner)
    assert client.get(waiting).status_code == 404
    client.force_login(buyer)
    assert client.get(waiting).status_code == 200
