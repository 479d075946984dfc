"""What waits of the pianos that are offered to us, and of those that somebody looks for."""

from dataclasses import replace
from datetime import date

from django.db.models import Count, OuterRef, Subquery
from django.db.models.functions import Coalesce
from django.urls import reverse

from instruments.models.together import asking
from shop.models import Lead, LeadPhoto
from shop.states import LeadState
from shop.waiting_lines import MOST, Group, Waiting, day_words
from shop.wishes import Found, all_found

MOST_OF_ONE_WISH = 3


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


@asking
def wanted_and_found():
    """What somebody looks for: what stands here, and apart from it what is only offered to us.

    Where something speaks against a match, it stands with the wish and not here.
    """
    found, more = (yield from all_found.later()), reverse("shop:wanted")
    found = [each for each in found if not each.match.against]
    groups = [
        Group("Looked for, and in stock", _found_lines([each for each in found if not each.is_offered])),
        Group("Looked for, and offered to us", _found_lines([each for each in found if each.is_offered])),
    ]
    return [replace(group, lines=group.lines[:MOST], more_url=more) for group in groups if group.lines]


def _found_lines(found: list[Found]) -> list[Waiting]:
    """A line for each that fits; one alone for a wish that many fit, or that names nothing but a kind."""
    by_wish: dict[int, list[Found]] = {}
    for each in found:
        by_wish.setdefault(each.wanted.pk, []).append(each)
    lines = []
    for fitting in by_wish.values():
        wish = fitting[0].wanted
        whom = f"For {wish.person or 'the shop'}"
        if not wish.is_vague and len(fitting) <= MOST_OF_ONE_WISH:
            reasons = [f"{whom}: {'; '.join(each.match.reasons)}" for each in fitting]
            lines += [Waiting(each.words, why, each.url) for each, why in zip(fitting, reasons, strict=True)]
            continue
        count, why = len(fitting), "ask what else matters"
        if wish.is_vague:
            why = "nothing but the kind was named: ask what maker or size"
        words = f"{wish.words}: {count} fit{'s' * (count == 1)}"
        lines.append(Waiting(words, f"{whom}; {why}", reverse("shop:wanted")))
    return lines
