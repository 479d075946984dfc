"""What a sale with a part exchange leaves behind: the old piano stays as it came while that may be undone."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, Instrument
from shop.models.sale import Sale


class HandedOver(AppendOnly):
    """The day on which a buyer had what was sold: their days to reject it count from it. The newest holds."""

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="hand_overs")
    handed_over_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.sale.number} handed over on {self.handed_over_on:%-d %B %Y}"


class UntouchedWaiver(AppendOnly):
    """The owner's word that a piano taken in part exchange need not stay as it came, and why."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="waivers")
    reason = models.CharField("why it need not stay as it came", max_length=300)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name = "waiver of the days untouched"
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="waiver_says_why")]

    def __str__(self) -> str:
        return self.reason
