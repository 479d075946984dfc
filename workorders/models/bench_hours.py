"""When people are at the bench: their hours by weekday from a day on, and days they are away."""

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from instruments.models import AppendOnly
from workorders.states import AwayKind

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MINUTES_A_DAY = 24 * 60


class BenchHours(AppendOnly):
    """Minutes at the bench on each weekday, from a day on until a newer row of the same person."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="bench_hours")
    since = models.DateField()
    monday = models.PositiveSmallIntegerField(default=0)
    tuesday = models.PositiveSmallIntegerField(default=0)
    wednesday = models.PositiveSmallIntegerField(default=0)
    thursday = models.PositiveSmallIntegerField(default=0)
    friday = models.PositiveSmallIntegerField(default=0)
    saturday = models.PositiveSmallIntegerField(default=0)
    sunday = models.PositiveSmallIntegerField(default=0)
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    set_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = "bench hours"
        ordering = ["-since", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(**{f"{day}__lte": MINUTES_A_DAY for day in WEEKDAYS}),
                name="bench_hours_fit_into_a_day",
            ),
        ]
        indexes = [models.Index(fields=["person", "-since", "-id"], name="bench_hours_by_person")]

    def __str__(self) -> str:
        return f"{self.person} from {self.since}"

    @property
    def week(self) -> tuple[int, ...]:
        """Minutes from Monday to Sunday."""
        return tuple(getattr(self, day) for day in WEEKDAYS)


class DaysAwayQuerySet(models.QuerySet):
    def standing(self):
        return self.filter(taken_back__isnull=True)

    def not_over(self, *, on: date):
        return self.filter(last_day__gte=on)


class DaysAway(AppendOnly):
    """Days on which somebody is not at the bench, first and last included."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="days_away")
    first_day = models.DateField()
    last_day = models.DateField()
    kind = models.CharField(max_length=8, choices=AwayKind, default=AwayKind.HOLIDAY)
    note = models.CharField(max_length=120, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = DaysAwayQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "days away"
        ordering = ["first_day", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")), name="days_away_end_after_they_begin"
            ),
        ]
        indexes = [models.Index(fields=["last_day", "person"], name="days_away_by_end")]

    def __str__(self) -> str:
        if self.first_day == self.last_day:
            return f"{self.first_day:%-d %B %Y}"
        return f"{self.first_day:%-d %B} to {self.last_day:%-d %B %Y}"


class DaysAwayTakenBack(AppendOnly):
    """Those days are worked after all."""

    days_away = models.OneToOneField(DaysAway, on_delete=models.PROTECT, related_name="taken_back")
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = "days away taken back"
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.days_away} taken back"
