from django.conf import settings
from django.db import models
from django.urls import reverse

from instruments.models import AppendOnly, Instrument


class HistoryIssue(AppendOnly):
    """The history of an instrument as it was handed over, word for word; the token opens its public page."""

    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="history_issues")
    token = models.CharField(max_length=32, unique=True)
    content = models.JSONField()
    sha256 = models.CharField(max_length=64)
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"History {self.number} of {self.instrument}"

    def get_absolute_url(self) -> str:
        return reverse("history_public", args=[self.token])
