"""Good pictures of a form that is not accepted yet, or sent ahead of it. They wait by the form's token."""

from collections.abc import Iterable
from datetime import timedelta

from django.db import IntegrityError, transaction
from django.db.models import QuerySet
from django.utils import timezone

from instruments.actions.photos import forget_files_on_commit
from instruments.models import WaitingPhoto
from instruments.photos import FILES, NOTED, PreparedPhoto, stored_photos

KEPT_FOR = timedelta(days=3)


def waiting_photos(*, form_token: str, by) -> QuerySet[WaitingPhoto]:
    """What waits for one form, and only for the person who sent it."""
    if not form_token:
        return WaitingPhoto.objects.none()
    return WaitingPhoto.objects.filter(form_token=form_token, uploaded_by=by)


def keep_waiting(*, form_token: str, prepared: Iterable[PreparedPhoto], by) -> None:
    """Put prepared photos by until their form is accepted; a picture sent twice is kept once."""
    forget_old_waiting_photos()
    have = set(WaitingPhoto.objects.filter(form_token=form_token).values_list("sha256", flat=True))
    for photo in prepared:
        if photo.sha256 in have:
            continue
        try:
            with stored_photos([photo]) as stored, transaction.atomic():
                WaitingPhoto.objects.create(form_token=form_token, uploaded_by=by, **stored[0])
                stored.keep()
        except IntegrityError:
            continue  # the same picture arrived by another request in the meantime


def take_waiting(*, form_token: str, by) -> list[dict]:
    """The pictures that waited, for `attach_pictures`; they wait no longer. Runs inside the taking act."""
    rows = list(waiting_photos(form_token=form_token, by=by).select_for_update())
    pictures = [{name: getattr(row, name) for name in (*FILES, *NOTED)} for row in rows]
    for picture in pictures:
        picture |= {part: picture[part].name for part in FILES}
    WaitingPhoto.objects.filter(pk__in=[row.pk for row in rows]).delete()
    return pictures


@transaction.atomic
def drop_waiting(*, photo: WaitingPhoto) -> None:
    """Its files go only if it still waits: once taken, they are an instrument's."""
    gone, _ = WaitingPhoto.objects.filter(pk=photo.pk).delete()
    if gone:
        forget_files_on_commit({part: getattr(photo, part).name for part in FILES})


def forget_old_waiting_photos() -> None:
    """Forms that nobody came back to: their pictures go after three days."""
    for photo in WaitingPhoto.objects.filter(uploaded_at__lt=timezone.now() - KEPT_FOR)[:50]:
        drop_waiting(photo=photo)
