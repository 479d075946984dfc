from django.conf import settings
from django.db import models
from django.db.models import F, Q

from instruments.models import AppendOnly
from shop.models.trial import Trial


class TrialExtension(AppendOnly):
    """A later last day for a trial that is out, agreed in writing. The agreement stays as printed."""

    number = models.CharField(max_length=30, unique=True)
    trial = models.ForeignKey(Trial, on_delete=models.PROTECT, related_name="extensions")
    ended_before = models.DateField("last day before")
    until = models.DateField("last day from now on")
    agreed_on = models.DateField()
    why = models.CharField("what was written", max_length=300)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=Q(until__gt=F("ended_before")), name="extension_gives_days"),
            models.UniqueConstraint(fields=["trial", "ended_before"], name="one_extension_of_one_last_day"),
        ]

    def __str__(self) -> str:
        return f"{self.number}: to {self.until:%-d %B %Y}, agreed on {self.agreed_on:%-d %B %Y}"
