"""Enquiries that wait for an answer, and those in doubt that nobody has looked at."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Q
from django.urls import reverse

from instruments.models.together import asking
from shop.models import Enquiry
from shop.waiting_lines import MOST, Group, Waiting, day_words, named


@asking
def enquiries_waiting(user, *, on: date):
    """One's own and nobody's; for the owner the late ones of all. No names for those who see no people."""
    sees = user.has_perm("shop.see_people")
    theirs = Q(handler=user) | (Q(handler__isnull=True) if sees else Q(pk__in=[]))
    if user.has_perm("shop.run_shop"):
        theirs |= Q(answer_by__lt=on)
    rows = Enquiry.objects.open().real().filter(theirs).with_answers().filter(is_answered=False)
    rows = rows.select_related("instrument", "handler").order_by("answer_by", "id")
    doubtful = Enquiry.objects.doubtful().order_by("-id") if sees else Enquiry.objects.none()
    rows, doubtful = yield rows[:MOST], doubtful[:3]
    lines = [_line(each, on, user, sees=sees) for each in rows]
    groups = [Group("Enquiries to answer", lines, "", reverse("shop:enquiries"))] if lines else []
    return groups + _doubtful(doubtful)


def _line(enquiry: Enquiry, on: date, user, *, sees: bool) -> Waiting:
    about = enquiry.get_about_display()
    words = f"{enquiry.name}: {about.lower()}" if sees else f"{about}: {enquiry.number}"
    which = f"{named(enquiry.instrument)}. " if enquiry.instrument else ""
    other = enquiry.handler if enquiry.handler_id and enquiry.handler_id != user.pk else None
    who = f"; {other.get_full_name() or other.get_username()} sees to it" if other else ""
    return Waiting(
        words,
        f"{which}Answer {day_words(enquiry.answer_by, on)}{who}",
        enquiry.get_absolute_url(),
        is_late=enquiry.answer_by < on,
    )


def _doubtful(rows: Iterable[Enquiry]) -> list[Group]:
    lines = [
        Waiting(f"{each.name}: {each.get_about_display().lower()}", each.doubts, each.get_absolute_url())
        for each in rows
    ]
    more = f"{reverse('shop:enquiries')}?which=doubtful"
    return [Group("Perhaps sent by a machine: look once", lines, "", more)] if lines else []
