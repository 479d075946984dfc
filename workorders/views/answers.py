"""What the pages of the bench have in common."""

from django.shortcuts import get_object_or_404
from django.utils import timezone

from workorders.models import WorkItem, WorkOrder


def today():
    return timezone.localdate()


def the_order(number: str) -> WorkOrder:
    return get_object_or_404(
        WorkOrder.objects.select_related("instrument", "opened_by", "closed_by"), number=number
    )


def the_item(pk: int) -> WorkItem:
    people = ("assigned_to", "closed_by", "overridden_by")
    evidence = ("weighing", "photo", "task")
    return get_object_or_404(WorkItem.objects.select_related("order__instrument", *people, *evidence), pk=pk)
