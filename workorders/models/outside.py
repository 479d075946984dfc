"""Work that is sent out of the house: to whom, what went, when it is promised back, what it costs."""

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from instruments.models import AppendOnly, Photo
from instruments.models.saving import KeptHistory
from workorders.models.order import WorkOrder
from workorders.store_states import Goes, OutsideKind, OutsideState


class Outworker(models.Model):
    """A person or workshop that does work for us."""

    name = models.CharField(max_length=100, unique=True)
    trade = models.CharField(max_length=80, blank=True)
    address = models.CharField(max_length=200, blank=True)
    telephone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(max_length=120, blank=True)
    note = models.CharField(max_length=300, blank=True)
    in_use = models.BooleanField("still works for us", default=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("workorders:outworker_edit", args=[self.pk])


class OutsideJobQuerySet(models.QuerySet):
    def open(self):
        """Asked for or away: not back and not cancelled."""
        return self.filter(state__in=[OutsideState.ASKED, OutsideState.SENT])

    def closed(self):
        return self.exclude(state__in=[OutsideState.ASKED, OutsideState.SENT])

    def under_way(self):
        return self.filter(state=OutsideState.SENT)

    def away(self):
        """Under way, and what it concerns is out of the house."""
        return self.under_way().exclude(goes=Goes.NOTHING)

    def overdue(self, *, on: date):
        return self.under_way().filter(promised_on__lt=on)


class OutsideJob(models.Model):
    """One piece of work given out for one order; with no items named it concerns the whole order."""

    number = models.CharField(max_length=20, unique=True)
    order = models.ForeignKey(WorkOrder, on_delete=models.PROTECT, related_name="outside_jobs")
    items = models.ManyToManyField("workorders.WorkItem", blank=True, related_name="outside_jobs")
    outworker = models.ForeignKey(Outworker, on_delete=models.PROTECT, related_name="jobs")
    kind = models.CharField(max_length=12, choices=OutsideKind)
    work = models.CharField("what is to be done", max_length=300)
    goes = models.CharField(max_length=8, choices=Goes, default=Goes.PARTS)
    what_goes = models.CharField("which parts go", max_length=300, blank=True)
    state = models.CharField(max_length=10, choices=OutsideState, default=OutsideState.ASKED)
    asked_on = models.DateField()
    quoted_minor = models.PositiveBigIntegerField("price named", null=True, blank=True)
    agreed_minor = models.PositiveBigIntegerField("price agreed", null=True, blank=True)
    sent_on = models.DateField(null=True, blank=True)
    sent_condition = models.CharField("its condition when it went", max_length=300, blank=True)
    promised_on = models.DateField("promised back on", null=True, blank=True)
    back_on = models.DateField(null=True, blank=True)
    back_condition = models.CharField("its condition when it came back", max_length=300, blank=True)
    photo = models.ForeignKey(
        Photo, null=True, blank=True, on_delete=models.PROTECT, related_name="outside_jobs"
    )
    cancel_reason = models.CharField("why it was cancelled", max_length=200, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = OutsideJobQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        permissions = [("agree_prices", "Can agree prices with outworkers and enter their bills")]
        constraints = [
            models.CheckConstraint(
                condition=~Q(state__in=[OutsideState.SENT, OutsideState.BACK])
                | (Q(sent_on__isnull=False) & (~Q(goes=Goes.PARTS) | ~Q(what_goes=""))),
                name="outside_job_sent_says_what_and_when",
            ),
            models.CheckConstraint(
                condition=Q(state=OutsideState.BACK, back_on__isnull=False)
                | (~Q(state=OutsideState.BACK) & Q(back_on__isnull=True)),
                name="outside_job_back_on_a_day",
            ),
            models.CheckConstraint(
                condition=Q(back_on__isnull=True) | Q(back_on__gte=F("sent_on")),
                name="outside_job_back_after_it_was_sent",
            ),
            models.CheckConstraint(
                condition=Q(state=OutsideState.CANCELLED) & ~Q(cancel_reason="")
                | (~Q(state=OutsideState.CANCELLED) & Q(cancel_reason="")),
                name="outside_job_cancelled_says_why",
            ),
        ]
        indexes = [models.Index(fields=["state", "promised_on"], name="outside_job_by_promise")]

    def __str__(self) -> str:
        return f"{self.number} {self.title.lower()} by {self.outworker}"

    def get_absolute_url(self) -> str:
        return reverse("workorders:outside_page", args=[self.number])

    @property
    def title(self) -> str:
        return "Work outside" if self.kind == OutsideKind.OTHER else self.get_kind_display()

    @property
    def is_open(self) -> bool:
        return self.state in {OutsideState.ASKED, OutsideState.SENT}

    @property
    def is_under_way(self) -> bool:
        return self.state == OutsideState.SENT

    @property
    def is_away(self) -> bool:
        return self.is_under_way and self.goes != Goes.NOTHING

    def days_overdue(self, on: date) -> int:
        """Days past the promised one while it is under way; 0 otherwise."""
        if not self.is_under_way or self.promised_on is None:
            return 0
        return max(0, (on - self.promised_on).days)

    def under_way_words(self, on: date) -> str:
        """ "with Hazel Finch until 4 December 2026, overdue by 3 days"."""
        return f"with {self.until_words(on)}"

    def until_words(self, on: date) -> str:
        """ "Hazel Finch until 4 December 2026, overdue by 3 days"."""
        if self.promised_on is None:
            return f"{self.outworker}, no day promised"
        late = self.days_overdue(on)
        overdue = f", overdue by {late} day{'s' * (late != 1)}" if late else ""
        return f"{self.outworker} until {self.promised_on:%-d %B %Y}{overdue}"


class OutsideBill(AppendOnly):
    """What an outworker has billed for a job. A row of the opposite sign takes one back."""

    job = models.ForeignKey(OutsideJob, on_delete=models.PROTECT, related_name="bills")
    amount_minor = models.BigIntegerField()
    billed_on = models.DateField()
    is_last = models.BooleanField("nothing more is to come", default=True)
    note = models.CharField(max_length=200, blank=True)
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(amount_minor__gte=0, corrects__isnull=True)
                | Q(amount_minor__lte=0, corrects__isnull=False),
                name="outside_bill_is_only_taken_back_by_name",
            ),
        ]

    def __str__(self) -> str:
        return f"bill of {self.billed_on} for {self.job}"
