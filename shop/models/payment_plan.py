"""In which stages a sale is paid, as agreed in writing: versions only added, and what has happened."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly
from shop.models.sale import Sale


class PaymentPlan(AppendOnly):
    """One version of the plan; the newest holds. Its stages together are the price."""

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="payment_plans")
    version = models.PositiveSmallIntegerField()
    agreed_on = models.DateField("agreed on")
    written = models.CharField("where it is written", max_length=200)
    why = models.CharField("why it was changed", max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-version"]
        constraints = [
            models.UniqueConstraint(fields=["sale", "version"], name="one_payment_plan_for_each_version"),
            models.CheckConstraint(
                condition=Q(version=1) | ~Q(why=""), name="payment_plan_is_changed_for_a_reason"
            ),
            models.CheckConstraint(condition=~Q(written=""), name="payment_plan_is_written_somewhere"),
        ]

    def __str__(self) -> str:
        return f"stages of {self.sale.number}, version {self.version}"


class PlanStage(AppendOnly):
    """A sum and when it is due: on a day, or when something has happened."""

    plan = models.ForeignKey(PaymentPlan, on_delete=models.PROTECT, related_name="stages")
    position = models.PositiveSmallIntegerField()
    words = models.CharField("what it is", max_length=120)
    amount_minor = models.PositiveBigIntegerField()
    due_on = models.DateField(null=True, blank=True)
    event = models.CharField("due when", max_length=120, blank=True)

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "position"], name="one_stage_in_each_place"),
            models.CheckConstraint(condition=Q(amount_minor__gt=0), name="stage_is_more_than_nothing"),
            models.CheckConstraint(
                condition=Q(due_on__isnull=False, event="") | (Q(due_on__isnull=True) & ~Q(event="")),
                name="stage_is_due_on_a_day_or_by_an_event",
            ),
        ]

    def __str__(self) -> str:
        return self.words


class StageReached(AppendOnly):
    """What a stage waited for has happened, with what shows it."""

    stage = models.OneToOneField(PlanStage, on_delete=models.PROTECT, related_name="reached")
    reached_on = models.DateField("happened on")
    shown_by = models.CharField("what shows it", max_length=200)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "stages reached"
        constraints = [models.CheckConstraint(condition=~Q(shown_by=""), name="stage_reached_is_shown_by")]

    def __str__(self) -> str:
        return f"{self.stage.event}: {self.reached_on:%-d %B %Y}"
