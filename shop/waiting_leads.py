"""What waits of the pianos that are offered to us."""

from datetime import date
from functools import lru_cache

from django.db import connection
from django.db.models import Case, Count, DateField, OuterRef, Subquery, Value, When
from django.db.models.functions import Coalesce
from django.urls import reverse

from instruments.models.together import asking
from instruments.models.worded import OfOne, Worded
from shop.models import Lead, LeadPhoto
from shop.states import LeadState
from shop.waiting_lines import MOST, Group, Waiting, day_words

LOOKED_AT = 60
TURNS = (LeadState.VISIT, LeadState.PHOTOS, LeadState.OFFERED, LeadState.NEW)


@asking
def leads_waiting(on: date):
    """Visits by their day, then photographs to look at, answers to wait for, and what nobody has decided."""
    (leads,) = yield (OfOne(_first_in_turn(connection.vendor, on)),)
    return Group(
        "Offered to us",
        [
            Waiting(
                f"{lead.maker} from {lead.from_whom}",
                _lead_words(lead, on),
                lead.get_absolute_url(),
                is_late=lead.state == LeadState.VISIT and lead.visit_on < on,
            )
            for lead in leads
        ],
        "Nobody who offers a piano waits for an answer.",
        reverse("shop:leads"),
    )


@lru_cache(maxsize=2)
def _first_in_turn(vendor: str, on: date) -> Worded:
    """Of the newest those that come into a line: in the order of `TURNS`, then by the day of a visit."""
    newest = Lead.objects.waiting().order_by("-id").values("pk")[:LOOKED_AT]
    count = LeadPhoto.objects.filter(lead=OuterRef("pk")).order_by().values("lead").annotate(n=Count("pk"))
    leads = Lead.objects.filter(pk__in=newest).select_related("person")
    leads = leads.annotate(photo_count=Coalesce(Subquery(count.values("n")), 0))
    turn = Case(*(When(state=state, then=place) for place, state in enumerate(TURNS)))
    day = Coalesce("visit_on", Value(on, output_field=DateField()))
    return Worded.of(leads.order_by(turn, day, "-id")[:MOST])


def _lead_words(lead: Lead, on: date) -> str:
    match lead.state:
        case LeadState.VISIT:
            return f"Visit {day_words(lead.visit_on, on)}"
        case LeadState.OFFERED:
            return "Our offer waits for their answer"
    return lead.state_words
