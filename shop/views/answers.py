"""What the shop's pages have in common when they act."""

from django.utils import timezone

from instruments.views.answers import act_once, answer_form, the_instrument

__all__ = ["act_once", "answer_form", "the_instrument", "today"]


def today():
    return timezone.localdate()
