"""What the bench costs: minutes at a dated rate, and parts."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly
from workorders.models.item import WorkItem


class BenchRate(AppendOnly):
    """What an hour at the bench costs the shop from a day on; without a person it holds for everybody."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="bench_rates"
    )
    since = models.DateField()
    per_hour_minor = models.PositiveBigIntegerField()

    class Meta:
        ordering = ["-since", "-id"]

    def __str__(self) -> str:
        return f"{self.person or 'everybody'} since {self.since}"


class TimeSpent(AppendOnly):
    """Minutes one person gave one item on one day. A negative row corrects an earlier one."""

    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="times")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    minutes = models.IntegerField()
    cost_minor = models.BigIntegerField()
    worked_on = models.DateField()
    note = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.CheckConstraint(condition=~Q(minutes=0), name="time_spent_is_not_nothing")]

    def __str__(self) -> str:
        return f"{self.minutes} min by {self.person}"


class PartUsed(AppendOnly):
    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="parts")
    name = models.CharField(max_length=120)
    quantity = models.DecimalField(max_digits=9, decimal_places=2)
    cost_minor = models.BigIntegerField("cost of all of them")
    used_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.CheckConstraint(condition=~Q(quantity=0), name="part_used_is_not_nothing")]

    def __str__(self) -> str:
        return f"{self.quantity:f} × {self.name}"
