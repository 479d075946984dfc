"""What waits of the pianos that are offered to us."""

from datetime import date

from django.db.models import Count, OuterRef, Subquery
from django.db.models.functions import Coalesce
from django.urls import reverse

from instruments.models.together import asking
from shop.models import Lead, LeadPhoto
from shop.states import LeadState
from shop.waiting_lines import MOST, Group, Waiting, day_words


@asking
def leads_waiting(on: date):
    """Visits by their day, then photographs to look at, answers to wait for, and what nobody has decided."""
    count = LeadPhoto.objects.filter(lead=OuterRef("pk")).order_by().values("lead").annotate(n=Count("pk"))
    counted = Coalesce(Subquery(count.values("n")), 0)
    rows = Lead.objects.waiting().select_related("person").annotate(photo_count=counted)
    (rows,) = yield (rows.order_by("-id")[:60],)
    order = {LeadState.VISIT: 0, LeadState.PHOTOS: 1, LeadState.OFFERED: 2, LeadState.NEW: 3}
    leads = sorted(rows, key=lambda lead: (order[lead.state], lead.visit_on or on))
    return Group(
        "Offered to us",
        [
            Waiting(
                f"{lead.maker} from {lead.from_whom}",
                _lead_words(lead, on),
                lead.get_absolute_url(),
                is_late=lead.state == LeadState.VISIT and lead.visit_on < on,
            )
            for lead in leads[:MOST]
        ],
        "Nobody who offers a piano waits for an answer.",
        reverse("shop:leads"),
    )


def _lead_words(lead: Lead, on: date) -> str:
    match lead.state:
        case LeadState.VISIT:
            return f"Visit {day_words(lead.visit_on, on)}"
        case LeadState.OFFERED:
            return "Our offer waits for their answer"
    return lead.state_words
