"""That somebody who agreed to it was told of an instrument that came into the window."""

from django.conf import settings
from django.db import models

from instruments.models import Instrument
from shop.models.wanted import Wanted
from shop.wish_states import TellingState


class Telling(models.Model):
    """Written before anything is sent: the database lets one wish have one for each instrument."""

    wanted = models.ForeignKey(Wanted, on_delete=models.CASCADE, related_name="tellings")
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="tellings")
    recipient = models.EmailField(blank=True)
    state = models.CharField(max_length=8, choices=TellingState, default=TellingState.BEGUN)
    tries = models.PositiveSmallIntegerField(default=1)
    said = models.CharField("what the mail server said", max_length=200, blank=True)
    told_at = models.DateTimeField(auto_now=True)
    told_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(fields=["wanted", "instrument"], name="told_once_of_each_instrument")
        ]

    def __str__(self) -> str:
        return f"{self.instrument}: {self.get_state_display().lower()}"
