from decimal import Decimal

from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.calc import pins
from instruments.calc.exact import plain
from instruments.calc.survey_lines import pin_name
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.models.measured import Measured
from instruments.models.saving import KeptHistory
from instruments.states import TorqueUnit


class PinLine(models.Model):
    """A line the shop draws among pin readings, to count what lies below it. It judges nothing."""

    torque = models.DecimalField("below", max_digits=6, decimal_places=2)
    unit = models.CharField(max_length=6, choices=TorqueUnit, default=TorqueUnit.NEWTON_METRE)
    meaning = models.CharField("what it says", max_length=200)
    source = models.CharField("where it comes from", max_length=200, default="common practice, no source")
    in_use = models.BooleanField("count by it", default=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["-in_use", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(torque__gt=0), name="pin_line_above_zero"),
            models.UniqueConstraint(fields=["torque", "unit"], name="one_pin_line_at_each_torque"),
        ]

    def __str__(self) -> str:
        return f"{plain(self.torque)} {self.unit}"

    @property
    def torque_nm(self) -> Decimal:
        return pins.newton_metres(self.torque, self.unit)


class PinSurvey(Measured):
    """Turning force of some or all tuning pins on one day."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="pin_surveys")
    unit = models.CharField("read in", max_length=6, choices=TorqueUnit)
    is_whole = models.BooleanField("every pin", default=False)

    class Meta(Measured.Meta):
        verbose_name = "pin survey"

    def __str__(self) -> str:
        return f"Pins of {self.measured_on:%-d %B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("instruments:pin_survey_page", args=[self.instrument.stock_number, self.pk])

    def torques_nm(self) -> dict[tuple[int, int], Decimal]:
        """Every reading by key and string."""
        return {
            (reading.key, reading.string): pins.newton_metres(reading.torque, self.unit)
            for reading in self.readings.all()
        }


class PinReading(AppendOnly):
    """One pin as the wrench said it, in the survey's unit; strings count from the left."""

    survey = models.ForeignKey(PinSurvey, on_delete=models.PROTECT, related_name="readings")
    key = models.SmallIntegerField(help_text="1 is A0, 88 is C8")
    string = models.SmallIntegerField(default=1)
    torque = models.DecimalField(max_digits=6, decimal_places=2)

    class Meta:
        ordering = ["key", "string"]
        constraints = [
            models.UniqueConstraint(fields=["survey", "key", "string"], name="one_torque_per_pin_and_survey"),
            models.CheckConstraint(condition=Q(torque__gte=0), name="pin_torque_not_negative"),
            models.CheckConstraint(condition=Q(string__range=(1, 3)), name="pin_of_one_of_three_strings"),
        ]

    def __str__(self) -> str:
        return f"{pin_name(self.key, self.string)}: {plain(self.torque)}"
