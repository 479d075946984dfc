from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.calc import wire_surveys
from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.models.measured import Measured
from instruments.models.pitch import a4_field


class WireSurvey(Measured):
    """Plain wires measured on one day: length and size, for tension at the pitch they are to sound."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="wire_surveys")
    a4_hz = a4_field()

    class Meta(Measured.Meta):
        verbose_name = "wire survey"

    def __str__(self) -> str:
        return f"Strings of {self.measured_on:%-d %B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("instruments:wire_survey_page", args=[self.instrument.stock_number, self.pk])

    def wires(self) -> list[wire_surveys.Wire]:
        return [
            wire_surveys.Wire(
                reading.key, reading.length_mm, reading.diameter_mm, reading.strings, self.a4_hz
            )
            for reading in self.readings.all()
        ]


class WireReading(AppendOnly):
    """The plain wire of one key. Millimetres are kept, never a gauge number alone: tables differ."""

    survey = models.ForeignKey(WireSurvey, on_delete=models.PROTECT, related_name="readings")
    key = models.SmallIntegerField(help_text="1 is A0, 88 is C8")
    length_mm = models.DecimalField(max_digits=6, decimal_places=1)
    diameter_mm = models.DecimalField(max_digits=5, decimal_places=3)
    strings = models.SmallIntegerField(default=3)
    given_as = models.CharField(max_length=30, blank=True)

    class Meta:
        ordering = ["key"]
        constraints = [
            models.UniqueConstraint(fields=["survey", "key"], name="one_wire_per_key_and_survey"),
            models.CheckConstraint(
                condition=Q(length_mm__gt=0) & Q(diameter_mm__gt=0) & Q(strings__range=(1, 3)),
                name="wire_has_measures",
            ),
        ]

    def __str__(self) -> str:
        return f"{note_label(self.key)}: {plain(self.length_mm)} mm of {plain(self.diameter_mm)} mm"
