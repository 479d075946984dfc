from django.conf import settings
from django.db import models
from django.db.models import F, Q

from instruments.calc import touchweight
from instruments.calc.exact import plain
from instruments.calc.touchweight.weighoff import SLOW_RETURN_G
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.models.saving import KeptHistory


def millimetres(label: str, **options) -> models.DecimalField:
    return models.DecimalField(label, max_digits=5, decimal_places=1, **options)


class LeadSize(models.Model):
    """A key lead that the shop has in its drawer."""

    name = models.CharField(max_length=40, unique=True)
    mass_g = models.DecimalField("mass", max_digits=5, decimal_places=2)
    diameter_mm = millimetres("diameter")
    in_use = models.BooleanField("may be planned with", default=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["-in_use", "mass_g", "name"]
        constraints = [
            models.CheckConstraint(condition=Q(mass_g__gt=0) & Q(diameter_mm__gt=0), name="lead_has_mass"),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({plain(self.mass_g)} g)"

    def as_size(self) -> touchweight.LeadSize:
        return touchweight.LeadSize(str(self), self.mass_g, self.diameter_mm)


class LeverMeasure(AppendOnly):
    """The keys of one instrument seen from the side; the latest measure counts."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="lever_measures")
    natural_front_mm = millimetres("balance rail to the weight, naturals")
    sharp_front_mm = millimetres("balance rail to the weight, sharps")
    nearest_mm = millimetres("nearest place for a lead")
    farthest_mm = millimetres("farthest place for a lead")
    behind_mm = millimetres("room behind the rail", default=0)
    least_up_g = models.DecimalField("least up-weight", max_digits=4, decimal_places=1, default=SLOW_RETURN_G)
    measured_on = models.DateField()
    measured_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(nearest_mm__gt=0)
                & Q(nearest_mm__lte=F("farthest_mm"))
                & Q(farthest_mm__lte=F("natural_front_mm"))
                & Q(farthest_mm__lte=F("sharp_front_mm")),
                name="room_for_lead_before_the_weight",
            ),
            models.CheckConstraint(
                condition=Q(behind_mm=0) | Q(behind_mm__gte=F("nearest_mm")), name="room_behind_or_none"
            ),
            models.CheckConstraint(condition=Q(least_up_g__gte=0), name="least_up_weight_not_negative"),
        ]

    def __str__(self) -> str:
        return f"Lever of {self.measured_on:%-d %B %Y}"

    def lever(self, *, is_sharp: bool) -> touchweight.Lever:
        front = self.sharp_front_mm if is_sharp else self.natural_front_mm
        return touchweight.Lever(front, self.nearest_mm, self.farthest_mm, self.behind_mm)


class KeyLeadQuerySet(models.QuerySet):
    def in_place(self):
        return self.filter(taken_out__isnull=True)


class KeyLead(AppendOnly):
    """A lead in a key: found there, or put there by us."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="key_leads")
    key = models.SmallIntegerField(help_text="1 is A0, 88 is C8")
    mass_g = models.DecimalField(max_digits=5, decimal_places=2)
    diameter_mm = millimetres("diameter")
    distance_mm = millimetres("forwards from the balance rail")
    was_found = models.BooleanField("found in the key", default=False)
    recorded_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = KeyLeadQuerySet.as_manager()

    class Meta:
        ordering = ["key", "distance_mm", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(mass_g__gt=0) & Q(diameter_mm__gt=0), name="key_lead_has_mass"
            ),
        ]

    def __str__(self) -> str:
        return f"key {self.key}: {plain(self.mass_g)} g at {plain(self.distance_mm)} mm"

    def as_placed(self) -> touchweight.PlacedLead:
        size = touchweight.LeadSize(f"{plain(self.mass_g)} g", self.mass_g, self.diameter_mm)
        return touchweight.PlacedLead(size, self.distance_mm)


class KeyLeadTakenOut(AppendOnly):
    """A lead that was taken out of its key again."""

    lead = models.OneToOneField(KeyLead, on_delete=models.PROTECT, related_name="taken_out")
    recorded_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name = "lead taken out"

    def __str__(self) -> str:
        return f"taken out: {self.lead}"
