"""Which task of the library is suggested for which fault."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.key_faults import KeyFault
from instruments.models.saving import KeptHistory
from instruments.states import Condition, Part
from workorders.models.task import Task


class TaskSuggestion(models.Model):
    """For a part found in a condition, or for a fault at keys; without a task nothing is suggested."""

    part = models.CharField(max_length=20, blank=True)
    condition = models.CharField(max_length=20, blank=True)
    fault = models.CharField(max_length=20, blank=True)
    task = models.ForeignKey(
        Task, null=True, blank=True, on_delete=models.PROTECT, related_name="suggestions"
    )
    is_as_shipped = models.BooleanField(default=False, editable=False)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["part", "condition", "fault"], name="one_task_suggested_for_each"
            ),
            models.CheckConstraint(
                condition=(Q(fault="") & ~Q(part="") & ~Q(condition=""))
                | (~Q(fault="") & Q(part="", condition="")),
                name="task_suggested_for_a_part_or_for_keys",
            ),
        ]

    def __str__(self) -> str:
        if self.fault:
            return KeyFault(self.fault).label
        return f"{Part(self.part).label}: {Condition(self.condition).label.lower()}"

    def get_absolute_url(self) -> str:
        return reverse("workorders:suggestion_edit", args=[self.pk])
