import re
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from instruments.actions.photos import add_photos
from tests.make import make_instrument
from tests.pictures import broken_upload, prepared, upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


def address(instrument, name="photos", *args) -> str:
    return reverse(f"instruments:{name}", args=[instrument.stock_number, *args])


def two_photos(instrument, by):
    files = [prepared("a.jpg", colour="red"), prepared("b.jpg")]
    return add_photos(instrument=instrument, prepared=files, by=by).new


def test_the_good_photos_are_kept_and_the_bad_one_is_named(signed_in):
    instrument = make_instrument()
    sent = {"form_token": uuid4().hex, "photos": [upload(), broken_upload("torn.jpg")]}
    page = signed_in.post(address(instrument), sent, follow=True).content.decode()
    assert instrument.photos.count() == 1
    assert "1 photo added." in page and "torn.jpg is damaged" in page


def test_only_bad_photos_are_refused_on_the_form(signed_in):
    instrument = make_instrument()
    sent = {"form_token": uuid4().hex, "photos": [broken_upload("torn.jpg")]}
    page = signed_in.post(address(instrument), sent).content.decode()
    assert "torn.jpg is damaged" in page and not instrument.photos.exists()


def test_sending_the_same_photos_twice_adds_them_once(signed_in):
    instrument = make_instrument()
    token = uuid4().hex
    for _ in range(2):
        answer = signed_in.post(address(instrument), {"form_token": token, "photos": [upload()]})
    assert (answer.status_code, instrument.photos.count()) == (302, 1)


def test_photos_are_kept_as_the_shot_that_was_asked_for(signed_in):
    instrument = make_instrument()
    page = signed_in.get(f"{address(instrument)}?shot=serial").content.decode()
    assert '<option value="serial" selected>' in page
    sent = {"form_token": uuid4().hex, "photos": [upload()], "shot": "serial"}
    signed_in.post(address(instrument), sent)
    assert instrument.photos.get().shot == "serial"


def test_a_shot_that_is_none_is_refused_beside_its_field(signed_in):
    instrument = make_instrument()
    assert signed_in.get(f"{address(instrument)}?shot=moon").status_code == 200
    sent = {"form_token": uuid4().hex, "photos": [upload()], "shot": "moon"}
    page = signed_in.post(address(instrument), sent)
    assert page.context["form"].errors["shot"] and not instrument.photos.exists()


def test_a_photo_is_described_and_made_public(signed_in, technician):
    instrument = make_instrument()
    photo = two_photos(instrument, technician)[0]
    prefix = f"photo-{photo.pk}-"
    sent = {f"{prefix}shot": "front", f"{prefix}caption": "As it stands", f"{prefix}is_public": "on"}
    signed_in.post(address(instrument, "photo_describe", photo.pk), sent)
    photo.refresh_from_db()
    assert (photo.shot, photo.caption, photo.is_public) == ("front", "As it stands", True)


def test_a_caption_too_long_is_refused_and_kept(signed_in, technician):
    instrument = make_instrument()
    photo = two_photos(instrument, technician)[0]
    sent = {f"photo-{photo.pk}-shot": "front", f"photo-{photo.pk}-caption": "x" * 201}
    page = signed_in.post(address(instrument, "photo_describe", photo.pk), sent).content.decode()
    assert "at most 200 characters" in page and "x" * 201 in page


def test_htmx_gets_the_grid_alone_in_its_new_order(signed_in, technician):
    instrument = make_instrument()
    first, second = two_photos(instrument, technician)
    shift = address(instrument, "photo_shift", second.pk)
    page = signed_in.post(shift, {"toward": "front"}, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in page
    assert re.findall(r'id="photo-(\d+)"', page) == [str(second.pk), str(first.pk)]


def test_a_photo_put_away_can_be_brought_back(signed_in, technician):
    instrument = make_instrument()
    photo = two_photos(instrument, technician)[0]
    signed_in.post(address(instrument, "photo_remove", photo.pk))
    assert instrument.photos.kept().count() == 1
    signed_in.post(address(instrument, "photo_restore", photo.pk))
    assert instrument.photos.kept().count() == 2


def test_no_photo_is_touched_by_looking(signed_in, technician):
    instrument = make_instrument()
    photo = two_photos(instrument, technician)[0]
    assert signed_in.get(address(instrument, "photo_remove", photo.pk)).status_code == 405


def test_the_number_of_queries_does_not_grow_with_the_photos(signed_in, technician):
    instrument, other = make_instrument(), make_instrument()
    add_photos(instrument=instrument, prepared=[prepared()], by=technician)
    two_photos(other, technician)
    counts = []
    for each in (instrument, other):
        with CaptureQueriesContext(connection) as queries:
            signed_in.get(address(each))
        counts.append(len(queries))
    assert counts[0] == counts[1] <= 10


def test_a_photo_just_taken_can_be_sent_without_choosing_another(signed_in):
    """Two boxes carry one field: were one of them insisted on, the browser would refuse the other's photo."""
    page = signed_in.get(address(make_instrument())).content.decode()
    sending = next(form for form in re.findall(r"<form[^>]*>", page) if "multipart" in form)
    assert "novalidate" in sending and page.count('name="photos"') == 2
