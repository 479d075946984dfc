"""Taking away what a stranger wrote: at their request, or when its time is over."""

from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Refused
from shop.calc.true_costs import months_later
from shop.enquiry_states import EnquiryOutcome
from shop.models import Enquiry, EnquiryAnswer, EnquirySending, ShopProfile
from shop.person_rows import ERASED

MARK = f"[{ERASED}]"


@transaction.atomic
def erase_enquiry(*, enquiry: Enquiry, why: str, by, on: date) -> Enquiry:
    """Who they were, what they wrote and what they were told goes; that somebody asked, and when, stays."""
    enquiry = Enquiry.objects.select_for_update().get(pk=enquiry.pk)
    if enquiry.person_id:
        raise Refused("They have a card: erase their data from there.")
    if enquiry.erased_on:
        return enquiry
    if enquiry.is_open:
        enquiry.outcome, enquiry.closed_on = EnquiryOutcome.SETTLED, on
    enquiry.name = enquiry.message = MARK
    enquiry.email = enquiry.telephone = enquiry.words_sha256 = enquiry.closed_why = enquiry.agreed_to = ""
    enquiry.erased_on = on
    EnquirySending.objects.filter(answer__enquiry=enquiry).exclude(said="").update(said=MARK)
    EnquiryAnswer.objects.filter(enquiry=enquiry).update(words=MARK)
    enquiry.history.all().delete()
    save_tracked(enquiry, by=by, why=f"{enquiry.number} erased: {why}")
    return enquiry


def past_their_time(*, on: date) -> list[Enquiry]:
    """Closed so long ago that the page's promise to strangers falls due."""
    months = ShopProfile.current().enquiry_months
    closed = Enquiry.objects.filter(closed_on__isnull=False, erased_on__isnull=True, person__isnull=True)
    return [each for each in closed.order_by("closed_on") if months_later(each.closed_on, months) <= on]
