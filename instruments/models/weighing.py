from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.states import Stage


class Weighing(AppendOnly):
    """One weigh-off: down-weight and up-weight of some or all keys on one day."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="weighings")
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.AS_FOUND)
    weighed_on = models.DateField()
    weighed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        verbose_name = "weigh-off"

    def __str__(self) -> str:
        return f"Weigh-off of {self.weighed_on:%-d %B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("instruments:weighing_page", args=[self.instrument.stock_number, self.pk])


class KeyReading(AppendOnly):
    """Grams at one key. Without an up-weight the key did not return by itself or was not tried."""

    weighing = models.ForeignKey(Weighing, on_delete=models.PROTECT, related_name="readings")
    key = models.SmallIntegerField(help_text="1 is A0, 88 is C8")
    down_g = models.DecimalField(max_digits=4, decimal_places=1)
    up_g = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)

    class Meta:
        ordering = ["key"]
        constraints = [
            models.UniqueConstraint(fields=["weighing", "key"], name="one_reading_per_key_and_weigh_off"),
            models.CheckConstraint(
                condition=Q(down_g__gte=0) & (Q(up_g__isnull=True) | Q(up_g__gte=0)),
                name="key_reading_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(up_g__isnull=True) | Q(up_g__lte=models.F("down_g")),
                name="up_weight_not_above_down_weight",
            ),
        ]

    def __str__(self) -> str:
        return f"key {self.key}: {self.down_g} down, {self.up_g} up"
