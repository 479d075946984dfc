"""Why an item of work is there: what was found of a part, and the keys that were marked."""

from django.db import models

from instruments.models import AppendOnly, Finding, KeyMark
from workorders.models.item import WorkItem


class ItemFinding(AppendOnly):
    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="finding_links")
    finding = models.ForeignKey(Finding, on_delete=models.PROTECT, related_name="item_links")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["item", "finding"], name="finding_once_for_an_item"),
        ]

    def __str__(self) -> str:
        return f"{self.item} for {self.finding}"


class ItemKeyMark(AppendOnly):
    """The item cannot be closed before this key has been looked at again."""

    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="mark_links")
    mark = models.ForeignKey(KeyMark, on_delete=models.PROTECT, related_name="item_links")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["item", "mark"], name="key_mark_once_for_an_item"),
        ]

    def __str__(self) -> str:
        return f"{self.item} for {self.mark}"
