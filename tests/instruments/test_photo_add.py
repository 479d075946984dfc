import pytest
from django.core.files.storage import default_storage
from django.db import connection
from django.test.utils import CaptureQueriesContext

from instruments.actions.photos import add_photos, describe_photo, remove_photo, restore_photo, shift_photo
from instruments.models import Photo
from tests.make import make_instrument
from tests.pictures import prepared

pytestmark = pytest.mark.django_db


def two_photos(instrument, by):
    return add_photos(
        instrument=instrument, prepared=[prepared("a.jpg", colour="red"), prepared("b.jpg")], by=by
    ).new


def test_photos_keep_the_order_they_came_in(buyer):
    instrument = make_instrument()
    two_photos(instrument, buyer)
    assert [photo.original_name for photo in instrument.photos.kept()] == ["a.jpg", "b.jpg"]


def test_the_original_is_kept_byte_for_byte(buyer):
    photo = prepared()
    sent = photo.original.read()
    kept = add_photos(instrument=make_instrument(), prepared=[photo], by=buyer).new[0]
    assert default_storage.open(kept.original.name).read() == sent


def test_a_picture_the_instrument_has_already_is_not_added_again(buyer):
    instrument = make_instrument()
    add_photos(instrument=instrument, prepared=[prepared()], by=buyer)
    again = add_photos(instrument=instrument, prepared=[prepared("same.jpg")], by=buyer)
    assert (again.new, instrument.photos.count()) == ([], 1)


def test_the_files_of_a_repeated_picture_do_not_stay_behind(buyer, django_capture_on_commit_callbacks):
    instrument = make_instrument()
    add_photos(instrument=instrument, prepared=[prepared()], by=buyer)
    before = default_storage.listdir("photos")[1]
    with django_capture_on_commit_callbacks(execute=True):
        add_photos(instrument=instrument, prepared=[prepared()], by=buyer)
    assert sorted(default_storage.listdir("photos")[1]) == sorted(before)


def test_a_photo_put_away_comes_back_when_it_is_sent_again(buyer):
    instrument = make_instrument()
    photo = add_photos(instrument=instrument, prepared=[prepared()], by=buyer).new[0]
    remove_photo(photo=photo, by=buyer)
    add_photos(instrument=instrument, prepared=[prepared()], by=buyer)
    assert list(instrument.photos.kept()) == [photo]


def test_putting_away_can_be_undone(buyer):
    photo = two_photos(make_instrument(), buyer)[0]
    restore_photo(photo=remove_photo(photo=photo, by=buyer), by=buyer)
    assert [entry.history_change_reason for entry in photo.history.all()] == [
        "Photo brought back: Something else",
        "Photo put away: Something else",
        "Photo added: a.jpg",
    ]


def test_the_history_says_that_a_photo_was_made_public(buyer):
    photo = two_photos(make_instrument(), buyer)[0]
    describe_photo(photo=photo, by=buyer, shot="front", caption="As it stands", is_public=True)
    assert photo.history.first().history_change_reason == (
        "Photo 1: front, closed; “As it stands”; may be shown to the public"
    )


def test_a_photo_moves_to_the_front(buyer):
    instrument = make_instrument()
    second = two_photos(instrument, buyer)[1]
    shift_photo(photo=second, steps=-1, by=buyer)
    assert [photo.original_name for photo in instrument.photos.kept()] == ["b.jpg", "a.jpg"]


def test_the_first_photo_moved_to_the_front_stays_there(buyer):
    instrument = make_instrument()
    first = two_photos(instrument, buyer)[0]
    shift_photo(photo=first, steps=-1, by=buyer)
    assert [photo.original_name for photo in instrument.photos.kept()] == ["a.jpg", "b.jpg"]


def test_describing_a_photo_leaves_alone_what_somebody_else_did_meanwhile(buyer):
    opened = two_photos(make_instrument(), buyer)[0]
    remove_photo(photo=Photo.objects.get(pk=opened.pk), by=buyer)
    described = describe_photo(photo=opened, by=buyer, caption="As it stands")
    newest = described.history.first()
    assert newest.removed_at is not None and newest.caption == "As it stands"


def test_a_photo_put_away_meanwhile_is_not_moved(buyer):
    opened = two_photos(make_instrument(), buyer)[0]
    remove_photo(photo=Photo.objects.get(pk=opened.pk), by=buyer)
    shift_photo(photo=opened, steps=1, by=buyer)
    assert opened.history.count() == 2


@pytest.mark.parametrize(
    "act", [remove_photo, restore_photo, lambda **said: describe_photo(caption="x", **said)]
)
def test_a_change_of_a_photo_and_its_history_are_written_together(buyer, act, django_assert_num_queries):
    photo = two_photos(make_instrument(), buyer)[0]
    with CaptureQueriesContext(connection) as asked:
        act(photo=photo, by=buyer)
    written = [query["sql"] for query in asked]
    assert written[0].startswith("SAVEPOINT") and written[-1].startswith("RELEASE SAVEPOINT")
