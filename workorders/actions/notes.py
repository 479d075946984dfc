"""Words and photographs noted while an item is worked on."""

from django.db import transaction

from instruments.actions.photos import describe_photo
from instruments.models import Photo
from instruments.problems import Blocked, Blocker
from instruments.states import Shot
from workorders.models import ItemNote, WorkItem
from workorders.states import PhotoMoment


@transaction.atomic
def note_at_bench(
    *, item: WorkItem, by, words: str = "", photo: Photo | None = None, moment: str = ""
) -> ItemNote:
    """Note words, a photograph of the instrument, or both; the photograph says what moment it shows."""
    words = words.strip()
    if not words and photo is None:
        raise Blocked([Blocker("Write a word, or take a photograph.")])
    if photo and not photo.caption:
        shot = Shot.AFTER_WORK if moment == PhotoMoment.AFTER else photo.shot
        side = PhotoMoment(moment).label if moment else "At the bench"
        describe_photo(photo=photo, by=by, shot=shot, caption=f"{side}: {item.name}")
    return ItemNote.objects.create(
        item=item, words=words, photo=photo, moment=moment if photo else "", recorded_by=by
    )


def moment_expected(item: WorkItem) -> PhotoMoment:
    """Before the work until somebody has given it time or it was shown as it was; after that, after it."""
    begun = item.times.exists() or item.timers.exists()
    shown = item.notes.filter(moment=PhotoMoment.BEFORE).exists()
    return PhotoMoment.AFTER if begun or shown else PhotoMoment.BEFORE
