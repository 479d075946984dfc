from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from instruments.models import Instrument
from workorders.states import OrderState


class WorkOrderQuerySet(models.QuerySet):
    def open(self):
        return self.filter(state=OrderState.OPEN)

    def closed(self):
        return self.exclude(state=OrderState.OPEN)


class WorkOrder(models.Model):
    """What is to be done to one instrument. Who asked for it and what was quoted is the shop's to know."""

    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="work_orders")
    title = models.CharField(max_length=120)
    note = models.TextField(blank=True, max_length=4000)
    state = models.CharField(max_length=10, choices=OrderState, default=OrderState.OPEN)
    due_on = models.DateField(null=True, blank=True)
    opened_on = models.DateField()
    opened_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    history = HistoricalRecords(history_change_reason_field=models.TextField(null=True))
    objects = WorkOrderQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        permissions = [
            ("do_work", "Can do bench work: open orders, log time and parts, close items"),
            ("run_bench", "Can edit the task library and set the bench rates"),
            ("override_acceptance", "Can accept work that its measurement does not bear out, with a reason"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(state=OrderState.OPEN, closed_at__isnull=True, closed_by__isnull=True)
                | (~Q(state=OrderState.OPEN) & Q(closed_at__isnull=False, closed_by__isnull=False)),
                name="order_closed_by_somebody_at_a_time",
            ),
        ]
        indexes = [models.Index(fields=["state", "-id"], name="work_order_by_state")]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("workorders:order_page", args=[self.number])

    @property
    def is_open(self) -> bool:
        return self.state == OrderState.OPEN
