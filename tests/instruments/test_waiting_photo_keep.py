from datetime import timedelta

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from instruments.actions.photos import attach_pictures
from instruments.actions.waiting_photos import drop_waiting, keep_waiting, take_waiting, waiting_photos
from instruments.models import WaitingPhoto
from tests.make import make_instrument
from tests.pictures import prepared

pytestmark = pytest.mark.django_db
TOKEN = "a" * 32


def test_a_good_photo_waits_for_its_form(buyer):
    keep_waiting(form_token=TOKEN, prepared=[prepared()], by=buyer)
    assert [photo.original_name for photo in waiting_photos(form_token=TOKEN, by=buyer)] == ["front.jpg"]


def test_the_same_picture_waits_once(buyer):
    for _ in range(2):
        keep_waiting(form_token=TOKEN, prepared=[prepared()], by=buyer)
    assert WaitingPhoto.objects.count() == 1


def test_nobody_else_sees_what_waits(buyer, owner):
    keep_waiting(form_token=TOKEN, prepared=[prepared()], by=buyer)
    assert not waiting_photos(form_token=TOKEN, by=owner)


def test_a_form_without_a_token_has_nothing_waiting(buyer):
    assert not waiting_photos(form_token="", by=buyer)


def test_a_waiting_photo_becomes_the_instruments_with_the_same_files(buyer):
    keep_waiting(form_token=TOKEN, prepared=[prepared()], by=buyer)
    name = WaitingPhoto.objects.get().original.name
    pictures = take_waiting(form_token=TOKEN, by=buyer)
    photo = attach_pictures(instrument=make_instrument(), pictures=pictures, by=buyer).new[0]
    assert (photo.original.name, WaitingPhoto.objects.count()) == (name, 0)


def test_a_dropped_photo_leaves_no_file_behind(buyer, django_capture_on_commit_callbacks):
    keep_waiting(form_token=TOKEN, prepared=[prepared()], by=buyer)
    with django_capture_on_commit_callbacks(execute=True):
        drop_waiting(photo=WaitingPhoto.objects.get())
    assert default_storage.listdir("originals")[1] == []


def test_forms_that_nobody_came_back_to_are_cleared_after_three_days(buyer):
    keep_waiting(form_token=TOKEN, prepared=[prepared()], by=buyer)
    WaitingPhoto.objects.update(uploaded_at=timezone.now() - timedelta(days=4))
    keep_waiting(form_token="b" * 32, prepared=[prepared(colour="navy")], by=buyer)
    assert [photo.form_token for photo in WaitingPhoto.objects.all()] == ["b" * 32]


def test_a_photo_taken_by_its_form_keeps_its_files_when_it_is_dropped_too_late(
    buyer, django_capture_on_commit_callbacks
):
    keep_waiting(form_token=TOKEN, prepared=[prepared()], by=buyer)
    shown = WaitingPhoto.objects.get()
    pictures = take_waiting(form_token=TOKEN, by=buyer)
    photo = attach_pictures(instrument=make_instrument(), pictures=pictures, by=buyer).new[0]
    with django_capture_on_commit_callbacks(execute=True):
        drop_waiting(photo=shown)
    assert default_storage.exists(photo.original.name)
