from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.calc import pitch_surveys
from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.models.measured import Measured
from instruments.states import PitchStage, PitchUnit, RaiseWay


def a4_field(**options) -> models.DecimalField:
    return models.DecimalField("A4", max_digits=5, decimal_places=2, **options)


class HousePitch(AppendOnly):
    """The A4 that the shop tunes to; the newest row counts, the others say what it was."""

    a4_hz = a4_field()
    reason = models.CharField(max_length=200)
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(condition=Q(a4_hz__range=(380, 480)), name="house_pitch_near_440")
        ]

    def __str__(self) -> str:
        return f"A4 at {plain(self.a4_hz)} Hz"


def house_a4_hz() -> Decimal:
    """What the shop tunes to now; 440 Hz (ISO 16:1975) while it has said nothing."""
    newest = HousePitch.objects.first()
    return newest.a4_hz if newest else Decimal(440)


class PitchSurvey(Measured):
    """The pitch of chosen notes on one day, with the A4 they were held against."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="pitch_surveys")
    unit = models.CharField("read in", max_length=5, choices=PitchUnit)
    stage = models.CharField(max_length=12, choices=PitchStage, default=PitchStage.AS_FOUND)
    a4_hz = a4_field()

    class Meta(Measured.Meta):
        verbose_name = "pitch survey"

    def __str__(self) -> str:
        return f"Pitch of {self.measured_on:%-d %B %Y}, {self.get_stage_display().lower()}"

    def get_absolute_url(self) -> str:
        return reverse("instruments:pitch_survey_page", args=[self.instrument.stock_number, self.pk])

    def hertz(self) -> dict[int, float]:
        """Every note read, as a frequency."""
        return {
            reading.key: pitch_surveys.heard_hz(
                reading.key, float(reading.value), self.unit, float(self.a4_hz)
            )
            for reading in self.readings.all()
        }


class PitchReading(AppendOnly):
    """One note as it was read, in the survey's unit."""

    survey = models.ForeignKey(PitchSurvey, on_delete=models.PROTECT, related_name="readings")
    key = models.SmallIntegerField(help_text="1 is A0, 88 is C8")
    value = models.DecimalField(max_digits=8, decimal_places=3)

    class Meta:
        ordering = ["key"]
        constraints = [
            models.UniqueConstraint(fields=["survey", "key"], name="one_pitch_per_key_and_survey"),
        ]

    def __str__(self) -> str:
        return f"{note_label(self.key)}: {plain(self.value)}"


class RaiseChoice(AppendOnly):
    """Which way to bring it to pitch the owner was offered and chose; the newest counts."""

    survey = models.ForeignKey(PitchSurvey, on_delete=models.PROTECT, related_name="choices")
    way = models.CharField("chosen", max_length=8, choices=RaiseWay)
    note = models.CharField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.get_way_display()
