"""Tunings done at the bench, for whoever asks when an instrument was last tuned."""

from datetime import date, datetime, time, timedelta

from django.utils import timezone

from instruments.models import Instrument
from workorders.models import WorkItem

TUNING_TASKS = ("tuning-pass", "fine-tune", "settle-and-retune")


def tuned_at_the_bench(instrument: Instrument, by_day: date) -> date | None:
    end = timezone.make_aware(datetime.combine(by_day + timedelta(days=1), time()))
    done = WorkItem.objects.done().filter(
        order__instrument=instrument, task__code__in=TUNING_TASKS, closed_at__lt=end
    )
    newest = done.order_by("-closed_at").first()
    return timezone.localdate(newest.closed_at) if newest else None
