from django.conf import settings
from django.db import models

from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.states import Place


class Move(AppendOnly):
    """Where an instrument went and when; the newest row is where it is."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="moves")
    place = models.CharField(max_length=10, choices=Place)
    note = models.CharField(max_length=120, blank=True)
    moved_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.get_place_display()} since {self.moved_on}"
