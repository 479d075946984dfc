"""What waits of the pianos that are offered to us, and of those that somebody looks for."""

from datetime import date

from django.db.models import Count
from django.urls import reverse

from shop.models import Lead
from shop.states import LeadState
from shop.waiting_lines import MOST, Group, Waiting, day_words
from shop.wishes import all_found


def leads_waiting(on: date) -> Group:
    """Visits by their day, then photographs to look at, answers to wait for, and what nobody has decided."""
    rows = Lead.objects.waiting().select_related("person").annotate(photo_count=Count("photos"))
    order = {LeadState.VISIT: 0, LeadState.PHOTOS: 1, LeadState.OFFERED: 2, LeadState.NEW: 3}
    leads = sorted(rows.order_by("-id")[:60], key=lambda lead: (order[lead.state], lead.visit_on or on))
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
        case LeadState.PHOTOS if lead.photo_count:
            return f"{lead.photo_count} photograph{'s' * (lead.photo_count > 1)} to look at"
        case LeadState.OFFERED:
            return "Our offer waits for their answer"
    return lead.get_state_display()


def wanted_and_here() -> list[Group]:
    """What somebody looks for and has turned up; no group at all where nobody looks."""
    found = all_found()[:MOST]
    lines = [
        Waiting(each.words, f"For {each.wanted.person or 'the shop'}: {each.match.reasons[0]}", each.url)
        for each in found
    ]
    return [Group("Looked for, and here", lines, "", reverse("shop:wanted"))] if lines else []
