"""A person's timer on one item, kept by the shop's own computer: no browser has to stay open for it."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from instruments.models.saving import SavedInWords
from workorders.calc.timing import elapsed_minutes, is_forgotten
from workorders.models.item import WorkItem


class BenchTimerQuerySet(models.QuerySet):
    def running(self):
        return self.filter(stopped_at__isnull=True)


class BenchTimer(SavedInWords):
    """From start to pause. What it came to is written down as time spent when it stops."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="bench_timers"
    )
    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="timers")
    started_at = models.DateTimeField()
    stopped_at = models.DateTimeField(null=True, blank=True)
    minutes = models.PositiveIntegerField("minutes written down", null=True, blank=True)
    was_told = models.BooleanField("forgotten, and told afterwards", default=False)

    objects = BenchTimerQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["person"],
                condition=Q(stopped_at__isnull=True),
                name="one_timer_runs_for_a_person",
            ),
            models.CheckConstraint(
                condition=Q(stopped_at__isnull=True) | Q(stopped_at__gte=F("started_at")),
                name="timer_stops_after_it_starts",
            ),
            models.CheckConstraint(
                condition=Q(stopped_at__isnull=True, minutes__isnull=True)
                | Q(stopped_at__isnull=False, minutes__isnull=False),
                name="timer_that_stopped_says_its_minutes",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} on {self.item}"

    def minutes_at(self, now) -> int:
        return elapsed_minutes(self.started_at, max(now, self.started_at))

    def is_forgotten_at(self, now) -> bool:
        return is_forgotten(self.started_at, max(now, self.started_at))
