"""Reminders by e-mail that did not go out, for whoever sells."""

from django.db.models import Exists, F, OuterRef

from instruments.models.together import asking
from shop.calc.reminders import mark_words
from shop.models import ReminderAttempt
from shop.waiting_lines import MOST, Group, Waiting, named


@asking
def reminders_not_sent():
    """The newest try of each, where it failed, while the promise still ends on that day."""
    later = ReminderAttempt.objects.filter(
        promise=OuterRef("promise"),
        ends_on=OuterRef("ends_on"),
        mark=OuterRef("mark"),
        recipient=OuterRef("recipient"),
        number__gt=OuterRef("number"),
    )
    attempts = (
        ReminderAttempt.objects.filter(promise__closed_at__isnull=True, promise__until=F("ends_on"))
        .filter(~Exists(later), result__was_sent=False)
        .select_related("promise__instrument", "result")
    )
    (attempts,) = yield (attempts.order_by("-id")[:MOST],)
    lines = [
        Waiting(
            f"{named(each.promise.instrument)}, {mark_words(each.mark)}",
            f"To {each.recipient}, try {each.number}. {each.result.answer}",
            each.promise.instrument.get_absolute_url(),
            is_late=True,
        )
        for each in attempts
    ]
    return [Group("Reminders that did not go out", lines)] if lines else []
