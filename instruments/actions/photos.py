"""Photos of an instrument: added, described, put in order, put away and brought back."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from instruments.actions.history import save_tracked
from instruments.actions.whole import whole
from instruments.models import Instrument, Photo
from instruments.models.worded import ASKED, of_one
from instruments.photos import FILES, PreparedPhoto, stored_photos


@dataclass(frozen=True)
class PhotosAdded:
    """What came of adding: new rows, and pictures the instrument had already (brought back if put away)."""

    new: list[Photo]
    known: list[Photo]


def add_photos(*, instrument: Instrument, prepared: Iterable[PreparedPhoto], by) -> PhotosAdded:
    """Store prepared photos with an instrument; the files are written before the transaction begins."""
    with stored_photos(prepared) as stored, transaction.atomic():
        added = attach_pictures(instrument=instrument, pictures=stored, by=by)
        stored.keep()
    return added


def attach_pictures(*, instrument: Instrument, pictures: Iterable[Mapping], by) -> PhotosAdded:
    """Make photos of pictures already stored. Must run inside the transaction of the act that brings them.

    Each picture holds the fields of StoredPicture. One the instrument has already is not added again.
    """
    pictures = list(pictures)
    _held(instrument.pk).worded.hold()
    contents = {picture["sha256"] for picture in pictures}
    keys = _contents(instrument.pk).worded.among("sha256", contents).first_column()
    have = {photo.sha256: photo for photo in Photo.objects.filter(pk__in=keys)} if keys else {}
    position = (_last_position(instrument.pk).alone().first() or (0,))[0]
    added = PhotosAdded([], [])
    for picture in pictures:
        if photo := have.get(picture["sha256"]):
            forget_files_on_commit(picture)
            added.known.append(_brought_back(photo, by))
            continue
        position += 1
        fields = {"uploaded_by": by} | dict(picture)
        photo = have[picture["sha256"]] = Photo(instrument=instrument, position=position, **fields)
        save_tracked(photo, by=by, why=f"Photo added: {photo.original_name}")
        added.new.append(photo)
    return added


@of_one
def _held() -> QuerySet:
    return Instrument.objects.select_for_update().filter(pk=ASKED).order_by().values_list("pk")


@of_one
def _contents() -> QuerySet:
    return Photo.objects.filter(instrument=ASKED).order_by().values_list("pk", "sha256")


@of_one
def _last_position() -> QuerySet:
    return Photo.objects.filter(instrument=ASKED).order_by("-position").values_list("position")[:1]


@whole
def describe_photo(*, photo: Photo, by, **description) -> Photo:
    """Set kind of shot, caption, or whether the public may see it. The history names what changed."""
    photo = _as_it_is_now(photo)
    before = {name: _words(photo, name) for name in description}
    for name, value in description.items():
        setattr(photo, name, value)
    changed = [words for name in description if (words := _words(photo, name)) != before[name]]
    if changed:
        save_tracked(
            photo, by=by, why=f"Photo {photo.position}: {'; '.join(changed)}", update_fields=[*description]
        )
    return photo


@whole
def remove_photo(*, photo: Photo, by) -> Photo:
    """Put a photo away. Its files stay, so that it can be brought back."""
    photo = _as_it_is_now(photo)
    photo.removed_at = timezone.now()
    save_tracked(photo, by=by, why=f"Photo put away: {photo}", update_fields=["removed_at"])
    return photo


@whole
def restore_photo(*, photo: Photo, by) -> Photo:
    photo = _as_it_is_now(photo)
    photo.removed_at = None
    save_tracked(photo, by=by, why=f"Photo brought back: {photo}", update_fields=["removed_at"])
    return photo


@whole
def shift_photo(*, photo: Photo, steps: int, by) -> None:
    """Move a photo among those that are kept, toward the front (-1) or the back (+1). The first one leads."""
    Instrument.objects.select_for_update().get(pk=photo.instrument_id)
    row = list(photo.instrument.photos.kept())
    place = next((place for place, other in enumerate(row) if other.pk == photo.pk), None)
    if place is None:
        return  # put away by somebody else in the meantime
    row.insert(max(0, place + steps), row.pop(place))
    for position, moved in enumerate(row, start=1):
        if moved.position != position:
            moved.position = position
            save_tracked(
                moved, by=by, why=f"Photo {moved} is now number {position}", update_fields=["position"]
            )


def forget_files_on_commit(picture: Mapping) -> None:
    """Remove the files of a picture that no row will point at, once that is certain."""
    names = [str(picture[part]) for part in FILES if picture[part]]
    transaction.on_commit(lambda: [default_storage.delete(name) for name in names])


def _as_it_is_now(photo: Photo) -> Photo:
    """The row, locked: what somebody has changed since the page was opened stays in it and its history."""
    return Photo.objects.select_for_update().get(pk=photo.pk)


def _brought_back(photo: Photo, by) -> Photo:
    return photo if photo.removed_at is None else restore_photo(photo=photo, by=by)


def _words(photo: Photo, name: str) -> str:
    if name == "is_public":
        return "may be shown to the public" if photo.is_public else "not for the public"
    if name == "shot":
        return photo.get_shot_display().lower()
    return f"“{photo.caption}”" if photo.caption else "no caption"
