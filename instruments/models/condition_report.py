"""One walk round an instrument: begun by somebody, gone on with by anybody, and closed once."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models.instrument import Instrument
from instruments.models.saving import KeptHistory
from instruments.states import Occasion


class ConditionReportQuerySet(models.QuerySet):
    def open(self):
        return self.filter(closed_at__isnull=True)


class ConditionReport(models.Model):
    """Its head: occasion, day, climate. What was found stands in findings, which are only ever added to."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="condition_reports")
    occasion = models.CharField(max_length=16, choices=Occasion)
    looked_on = models.DateField("looked at on")
    temperature_c = models.DecimalField("temperature", max_digits=4, decimal_places=1, null=True, blank=True)
    humidity_percent = models.DecimalField("humidity", max_digits=4, decimal_places=1, null=True, blank=True)
    note = models.CharField(max_length=500, blank=True)
    begun_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    begun_at = models.DateTimeField(auto_now_add=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closed_at = models.DateTimeField(null=True, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = ConditionReportQuerySet.as_manager()

    class Meta:
        ordering = ["-looked_on", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True, closed_by__isnull=True)
                | Q(closed_at__isnull=False, closed_by__isnull=False),
                name="report_closed_by_somebody",
            ),
            models.CheckConstraint(
                condition=Q(humidity_percent__isnull=True) | Q(humidity_percent__range=(0, 100)),
                name="report_humidity_is_a_share",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_occasion_display()}, {self.looked_on:%-d %B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("instruments:condition_report", args=[self.instrument.stock_number, self.pk])

    @property
    def is_open(self) -> bool:
        return self.closed_at is None
