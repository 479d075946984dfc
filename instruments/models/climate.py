from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.calc.climate import COLDEST_C, HOTTEST_C
from instruments.calc.exact import plain
from instruments.calc.room_moves import Air
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.states import Whose


class ClimateReading(AppendOnly):
    """The air of one room on one day; of the shop, or where an instrument lives or is to live."""

    whose = models.CharField(max_length=8, choices=Whose, default=Whose.OURS)
    room = models.CharField(max_length=80)
    instrument = models.ForeignKey(
        Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="climate_readings"
    )
    temperature_c = models.DecimalField(max_digits=4, decimal_places=1)
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1)
    read_on = models.DateField()
    read_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(max_length=300, blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-read_on", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(humidity_percent__range=(0, 100))
                & Q(temperature_c__range=(int(COLDEST_C), int(HOTTEST_C))),
                name="climate_that_can_be",
            ),
            models.CheckConstraint(condition=~Q(room=""), name="climate_of_a_named_room"),
        ]

    def __str__(self) -> str:
        return f"{self.room}, {self.read_on:%-d %B %Y}: {self.air_words}"

    @property
    def air(self) -> Air:
        return Air(float(self.temperature_c), float(self.humidity_percent))

    @property
    def air_words(self) -> str:
        return f"{plain(self.temperature_c)} °C, {plain(self.humidity_percent)} % RH".replace("-", "−")
