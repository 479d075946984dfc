"""Something else that was found at the bench: proposed to the owner, who agrees to it or declines it."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models import AppendOnly, Finding
from workorders.models.item import WorkItem
from workorders.models.task import Task


class WorkProposalQuerySet(models.QuerySet):
    def waiting(self):
        return self.filter(answer__isnull=True)

    def told(self):
        """With all that a line about one speaks of."""
        return self.select_related(
            "finding__photo",
            "finding__instrument",
            "task",
            "proposed_by",
            "item__order__instrument",
            "answer__answered_by",
            "answer__item__order",
        )


class WorkProposal(AppendOnly):
    """What somebody found while at work on an item, and would do about it."""

    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="proposals")
    finding = models.OneToOneField(Finding, on_delete=models.PROTECT, related_name="proposal")
    task = models.ForeignKey(Task, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    usual_minutes = models.PositiveIntegerField("about how long", null=True, blank=True)
    proposed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    proposed_on = models.DateField()
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = WorkProposalQuerySet.as_manager()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return str(self.finding)

    def get_absolute_url(self) -> str:
        return reverse("workorders:proposal_page", args=[self.pk])


class ProposalAnswer(AppendOnly):
    """The owner's word on a proposal: the item it became, or why nothing is done about it."""

    proposal = models.OneToOneField(WorkProposal, on_delete=models.PROTECT, related_name="answer")
    item = models.ForeignKey(
        WorkItem, null=True, blank=True, on_delete=models.PROTECT, related_name="agreed_from"
    )
    reason = models.CharField("why not", max_length=300, blank=True)
    answered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    answered_on = models.DateField()
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(item__isnull=False, reason="") | (Q(item__isnull=True) & ~Q(reason="")),
                name="proposal_became_work_or_says_why_not",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.proposal}: {'agreed' if self.item_id else 'declined'}"
