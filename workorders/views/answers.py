"""What the pages of the bench have in common."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from instruments.views.answers import answer_form
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


def answer_or_show(request: HttpRequest, form, act: Callable[[], str], **page) -> HttpResponse:
    """Act by a form that was sent and is right; otherwise show it with all that was typed."""
    return answer_form(request, form, act) or render(
        request, page.pop("template", "workorders/form.html"), {"form": form} | page
    )
