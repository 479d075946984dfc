"""What the shop's pages have in common when they act."""

from django.utils import timezone

from instruments.views.answers import act_once, answer_form, only_finds, say_refused, the_instrument

__all__ = [
    "act_once",
    "answer_form",
    "only_finds",
    "open_or_sent",
    "say_refused",
    "the_instrument",
    "today",
]


def today():
    return timezone.localdate()


def open_or_sent(request, rows):
    """For a page what is still open; for a form that was sent, whatever became of it meanwhile.

    Pressed twice, or again when the answer was lost, it has to find its answer. The act refuses what ended.
    """
    return rows.all() if request.method == "POST" else rows.open()
