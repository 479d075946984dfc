"""What is offered to us: a card from a call, corrected as more is known, and decided with a reason."""

from collections.abc import Iterable
from datetime import date

from django.core.files.storage import default_storage
from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.actions.photos import forget_files_on_commit
from instruments.models import Instrument
from instruments.photos import FILES, NOTED, PreparedPhoto, stored_photos
from instruments.problems import Refused
from shop.actions.people import add_person
from shop.lead_problems import why_decided
from shop.models import Lead, LeadPhoto
from shop.states import LeadState

MOST_PHOTOS = 120


@transaction.atomic
def take_lead(*, by, on: date, **card) -> Lead:
    """Write down what was said on the telephone; all of it may be corrected when more is known."""
    lead = Lead(number=next_number("lead", on=on, prefix="L"), taken_by=by, called_on=on, **card)
    save_tracked(lead, by=by, why=f"{lead.maker} offered by {lead.from_whom}")
    return lead


@transaction.atomic
def correct_lead(*, lead: Lead, by, **card) -> Lead:
    lead = Lead.objects.select_for_update().get(pk=lead.pk)
    for field, value in card.items():
        setattr(lead, field, value)
    save_tracked(lead, by=by, why=f"Card of {lead.number} corrected")
    return lead


@transaction.atomic
def decide_lead(
    *,
    lead: Lead,
    state: str,
    reason: str,
    visit_on: date | None = None,
    offered_minor: int | None = None,
    by,
    on: date,
) -> Lead:
    """Say what becomes of it, and why. What was bought is not decided again."""
    lead = Lead.objects.select_for_update().get(pk=lead.pk)
    if lead.state == LeadState.BOUGHT or state == LeadState.BOUGHT:
        raise Refused("A lead becomes bought by the purchase itself, and stays so.")
    if not reason.strip():
        raise Refused("Say why: the reason is what somebody reads who takes the next call.")
    lead.state, lead.decision, lead.decided_on = state, reason.strip(), on
    lead.visit_on = visit_on if state == LeadState.VISIT else lead.visit_on
    lead.offered_minor = offered_minor if state == LeadState.OFFERED else lead.offered_minor
    save_tracked(lead, by=by, why=f"{LeadState(state).label}: {lead.decision}")
    return lead


def waits_for_photos(*, lead: Lead, why: str, by, on: date | None) -> Lead:
    """A lead that nobody decided yet goes on to its photographs; one that is further on stays where it is.

    Must run inside a transaction that holds the lead's row.
    """
    if lead.state == LeadState.NEW:
        lead.state, lead.decision, lead.decided_on = LeadState.PHOTOS, why, on
        save_tracked(lead, by=by, why=f"{LeadState.PHOTOS.label}: {why}")
    return lead


def mark_bought(*, lead: Lead, instrument: Instrument, by, on: date) -> Lead:
    """Must run inside the transaction of the purchase, which holds the lead's row."""
    lead.state, lead.instrument, lead.decided_on = LeadState.BOUGHT, instrument, on
    lead.decision = f"Bought as {instrument.stock_number}"
    save_tracked(lead, by=by, why=lead.decision)
    return lead


def lock_open_lead(lead: Lead) -> Lead:
    lead = Lead.objects.select_for_update().get(pk=lead.pk)
    if decided := why_decided(lead):
        raise Refused(decided)
    return lead


@transaction.atomic
def put_on_file(*, lead: Lead, by) -> Lead:
    """Make the caller a person of ours."""
    lead = Lead.objects.select_for_update().get(pk=lead.pk)
    if lead.person is None:
        lead.person = add_person(name=lead.caller, telephone=lead.telephone, email=lead.email, by=by)
        save_tracked(lead, by=by, why=f"{lead.caller} put on file")
    return lead


def add_lead_photos(*, lead: Lead, prepared: Iterable[PreparedPhoto], by, on: date | None = None) -> int:
    """Photographs that came another way, such as by e-mail; how many were new."""
    with stored_photos(prepared) as stored, transaction.atomic():
        lead = Lead.objects.select_for_update().get(pk=lead.pk)
        if kept := keep_pictures(lead=lead, pictures=stored, uploaded_by=by):
            waits_for_photos(lead=lead, why="They came another way than by the link", by=by, on=on)
        stored.keep()
    return kept


def keep_pictures(*, lead: Lead, pictures: Iterable[dict], link=None, uploaded_by=None) -> int:
    """Rows for pictures already stored; one that is here already is not kept twice. Inside a transaction."""
    Lead.objects.select_for_update().get(pk=lead.pk)
    have = set(lead.photos.values_list("sha256", flat=True))
    kept = 0
    for picture in pictures:
        if picture["sha256"] in have or len(have) >= MOST_PHOTOS:
            forget_files_on_commit(picture)
            continue
        LeadPhoto.objects.create(lead=lead, link=link, uploaded_by=uploaded_by, **picture)
        have.add(picture["sha256"])
        kept += 1
    return kept


def take_lead_pictures(lead: Lead) -> list[dict]:
    """The pictures of a lead for `attach_pictures`; they are the lead's no longer. Inside the taking act."""
    rows = list(lead.photos.select_for_update())
    pictures = []
    for row in rows:
        picture = {name: getattr(row, name) for name in NOTED}
        picture |= {part: getattr(row, part).name for part in FILES}
        by_seller = row.link_id is not None
        picture["caption"] = f"Sent by the seller on {row.uploaded_at:%-d %B %Y}" if by_seller else ""
        pictures.append(picture)
    LeadPhoto.objects.filter(pk__in=[row.pk for row in rows]).delete()
    return pictures


@transaction.atomic
def drop_lead_photo(*, photo: LeadPhoto, by) -> None:
    """Remove it for good: a stranger's room is not ours to keep. The history says that there was one."""
    lead = Lead.objects.select_for_update().get(pk=photo.lead_id)
    gone, _ = LeadPhoto.objects.filter(pk=photo.pk).delete()
    if gone:
        save_tracked(lead, by=by, why=f"Photograph removed: {photo.original_name}")
        names = [getattr(photo, part).name for part in FILES]
        transaction.on_commit(lambda: [default_storage.delete(name) for name in names])
