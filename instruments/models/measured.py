"""What every measurement carries: when, by whom, in which air."""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.calc.climate import COLDEST_C, HOTTEST_C
from instruments.models.append_only import AppendOnly


class Measured(AppendOnly):
    """One sitting with a gauge in the hand. The air of the room is part of the reading where it is known."""

    measured_on = models.DateField()
    measured_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    temperature_c = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta(AppendOnly.Meta):
        abstract = True
        ordering = ["-measured_on", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=(Q(humidity_percent__isnull=True) | Q(humidity_percent__range=(0, 100)))
                & (
                    Q(temperature_c__isnull=True)
                    | Q(temperature_c__range=(Decimal(int(COLDEST_C)), Decimal(int(HOTTEST_C))))
                ),
                name="%(class)s_in_air_that_can_be",
            ),
        ]

    @property
    def air_words(self) -> str:
        """ "48 % RH, 19 °C", or less where less is known."""
        said = []
        if self.humidity_percent is not None:
            said.append(f"{self.humidity_percent.normalize():f} % RH")
        if self.temperature_c is not None:
            said.append(f"{self.temperature_c.normalize():f} °C".replace("-", "−"))
        return ", ".join(said)
