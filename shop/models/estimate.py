from django.conf import settings
from django.db import models

from instruments.models import AppendOnly, Instrument
from shop.states import EstimateKind


class CostEstimate(AppendOnly):
    """What one kind of cost is expected to come to for one instrument; of each kind the newest holds."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="cost_estimates")
    kind = models.CharField(max_length=12, choices=EstimateKind)
    amount_minor = models.PositiveBigIntegerField()
    note = models.CharField("what it rests on", max_length=200, blank=True)
    estimated_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["instrument", "kind", "-id"], name="estimate_newest_of_kind")]

    def __str__(self) -> str:
        return f"estimate for {self.get_kind_display().lower()}"
