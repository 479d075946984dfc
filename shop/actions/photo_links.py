"""Links by which a seller sends photographs without a login, and what comes in by them."""

import secrets
from collections.abc import Iterable
from datetime import date, timedelta

from django.db import transaction
from django.db.models import Sum
from django.utils import timezone

from instruments.actions.history import save_tracked
from instruments.photos import PreparedPhoto, stored_photos
from instruments.problems import Refused
from shop.actions.leads import keep_pictures, lock_open_lead, waits_for_photos
from shop.models import Lead, LinkSending, PhotoLink
from shop.models.lead import token_hash

SEED_BYTES = 16
USUAL_DAYS = 14
MOST_SENDINGS = 60
AT_ONCE, IN = 8, timedelta(minutes=10)


class LinkClosed(Refused):
    """It ran out, was closed, or takes no more; whoever holds it learns no more than that."""


@transaction.atomic
def make_link(*, lead: Lead, days: int = USUAL_DAYS, by, on: date) -> PhotoLink:
    """A new link for one lead; the ones before it are closed."""
    lead = lock_open_lead(lead)
    lead = waits_for_photos(lead=lead, why="A link for them was made", by=by, on=on)
    for earlier in lead.links.filter(closed_at__isnull=True):
        close_link(link=earlier, by=by)
    link = PhotoLink(
        lead=lead,
        seed=secrets.token_hex(SEED_BYTES),
        expires_on=on + timedelta(days=days),
        made_by=by,
    )
    link.token_sha256 = token_hash(link.token)
    save_tracked(link, by=by, why=f"{lead.number}: link for photographs, for {days} days")
    return link


@transaction.atomic
def close_link(*, link: PhotoLink, by) -> PhotoLink:
    link = PhotoLink.objects.select_for_update().get(pk=link.pk)
    if link.closed_at is None:
        link.closed_at = timezone.now()
        save_tracked(link, by=by, why="Link for photographs closed")
    return link


def open_link(token: str, *, on: date) -> PhotoLink | None:
    """The link that this address opens today. Wrong, run out, closed and decided are all the same: none."""
    link = PhotoLink.objects.filter(token_sha256=token_hash(token)).select_related("lead").first()
    if link is None or not link.is_open(on=on) or not link.lead.is_open:
        return None
    return link


def room_in(link: PhotoLink) -> int:
    """How many photographs it still takes."""
    return max(0, link.most_files - _received(link)["kept"])


def bytes_left(link: PhotoLink) -> int:
    return max(0, link.most_bytes - _received(link)["bytes"])


def received_by(link: PhotoLink) -> int:
    return _received(link)["kept"]


def is_too_often(link: PhotoLink) -> bool:
    """Whether it was used so often that it has to rest, or for good."""
    recent = link.sendings.filter(at__gt=timezone.now() - IN).count()
    return recent >= AT_ONCE or link.sendings.count() >= MOST_SENDINGS


def receive(*, link: PhotoLink, prepared: Iterable[PreparedPhoto], refused: int, on: date) -> int:
    """Keep what was sent, as far as the link has room; how many were new. A picture sent twice is kept once.

    The files are written before the transaction, in which the link's row is locked and asked once more.
    """
    prepared = list(prepared)
    with stored_photos(prepared) as stored, transaction.atomic():
        Lead.objects.select_for_update().get(pk=link.lead_id)  # before its link, as everywhere
        locked = PhotoLink.objects.select_for_update().get(pk=link.pk)
        if not locked.is_open(on=on) or not locked.lead.is_open or is_too_often(locked):
            raise LinkClosed("This link takes nothing more.")
        new = _new_ones(locked, stored)
        if len(new) > room_in(locked) or sum(each["byte_count"] for each in new) > bytes_left(locked):
            raise LinkClosed("That is more than this link takes. Send fewer, the serial number first.")
        kept = keep_pictures(lead=locked.lead, pictures=stored, link=locked)
        LinkSending.objects.create(
            link=locked, kept=kept, refused=refused, byte_count=sum(each["byte_count"] for each in new)
        )
        stored.keep()
    return kept


def note_refused(*, link: PhotoLink, refused: int) -> None:
    """A sending of which nothing could be kept counts as well: the link is not for trying."""
    LinkSending.objects.create(link=link, kept=0, refused=refused, byte_count=0)


def _new_ones(link: PhotoLink, pictures: list[dict]) -> list[dict]:
    have = set(link.lead.photos.values_list("sha256", flat=True))
    return [each for each in pictures if each["sha256"] not in have]


def _received(link: PhotoLink) -> dict:
    sums = link.sendings.aggregate(kept=Sum("kept"), bytes=Sum("byte_count"))
    return {name: value or 0 for name, value in sums.items()}
