"""Work on looks that the owner lets go on although the structure is not proven, or was found wanting."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, Finding
from workorders.models.item import WorkItem
from workorders.states import Stood


class GateWaiver(AppendOnly):
    """One matter of structure, passed over for one item as it stood then; what comes up later blocks."""

    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="waivers")
    gate = models.ForeignKey(
        WorkItem, null=True, blank=True, on_delete=models.PROTECT, related_name="passed_over_for"
    )
    finding = models.ForeignKey(
        Finding, null=True, blank=True, on_delete=models.PROTECT, related_name="passed_over_for"
    )
    stood = models.CharField(max_length=8, choices=Stood)
    reason = models.CharField(max_length=300)
    waived_on = models.DateField()
    waived_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="gate_waiver_has_a_reason"),
            models.CheckConstraint(
                condition=Q(gate__isnull=False, finding__isnull=True)
                | Q(gate__isnull=True, finding__isnull=False, stood=Stood.WANTING),
                name="gate_waiver_of_an_item_or_a_finding",
            ),
        ]

    def __str__(self) -> str:
        return f"“{self.item}” before {self.gate or self.finding}: {self.reason}"
