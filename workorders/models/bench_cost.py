"""What the bench costs: minutes at a dated rate, and parts. A correction is a row that takes one back."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly
from workorders.models.item import WorkItem


class BenchRateQuerySet(models.QuerySet):
    def holding_for(self, person, *, on):
        """Rates that may hold for a person on a day, the one that does first: theirs before everybody's."""
        return self.filter(Q(person=person) | Q(person__isnull=True), since__lte=on).order_by(
            models.F("person").asc(nulls_last=True), "-since", "-id"
        )


class BenchRate(AppendOnly):
    """What an hour at the bench costs the shop from a day on; without a person it holds for everybody."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="bench_rates"
    )
    since = models.DateField()
    per_hour_minor = models.PositiveBigIntegerField()
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    set_at = models.DateTimeField(auto_now_add=True)

    objects = BenchRateQuerySet.as_manager()

    class Meta:
        ordering = ["-since", "-id"]

    def __str__(self) -> str:
        return f"{self.person or 'everybody'} since {self.since}"


class TimeSpent(AppendOnly):
    """Minutes one person gave one item on one day. A negative row takes an earlier one back."""

    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="times")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    minutes = models.IntegerField()
    per_hour_minor = models.PositiveBigIntegerField(null=True, blank=True)
    cost_minor = models.BigIntegerField()
    worked_on = models.DateField()
    note = models.CharField(max_length=200, blank=True)
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["worked_on", "person"], name="time_spent_by_day")]
        constraints = [
            models.CheckConstraint(condition=~Q(minutes=0), name="time_spent_is_not_nothing"),
            models.CheckConstraint(
                condition=Q(minutes__gt=0, corrects__isnull=True) | Q(minutes__lt=0, corrects__isnull=False),
                name="time_spent_is_only_taken_back_by_name",
            ),
            models.CheckConstraint(
                condition=Q(per_hour_minor__isnull=False) | Q(cost_minor=0),
                name="time_spent_without_a_rate_costs_nothing",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.minutes} min by {self.person}"


class PartUsed(AppendOnly):
    """What went into one item. A negative row takes one back; without a cost nobody has given it."""

    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="parts")
    name = models.CharField(max_length=120)
    quantity = models.DecimalField(max_digits=9, decimal_places=2)
    unit = models.CharField(max_length=10, blank=True)
    cost_minor = models.BigIntegerField("cost of all of them", null=True, blank=True)
    used_on = models.DateField()
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=~Q(quantity=0), name="part_used_is_not_nothing"),
            models.CheckConstraint(
                condition=Q(quantity__gt=0, corrects__isnull=True)
                | Q(quantity__lt=0, corrects__isnull=False),
                name="part_used_is_only_taken_back_by_name",
            ),
        ]

    def __str__(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.quantity.normalize():f}{unit} × {self.name}"
