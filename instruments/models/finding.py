from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.calc.exact import exact, plain
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.models.photo import Photo
from instruments.states import CONDITIONS_THAT_ARE_FAULTS, Condition, Part


class FindingQuerySet(models.QuerySet):
    def current(self):
        """The last word on each part: rows that no later finding has replaced."""
        return self.filter(superseded_by__isnull=True)

    def faults(self):
        return self.current().filter(condition__in=CONDITIONS_THAT_ARE_FAULTS)

    def public(self):
        return self.filter(is_public=True)


class Finding(AppendOnly):
    """What hands and eyes found of one part on one day."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="findings")
    part = models.CharField(max_length=12, choices=Part)
    condition = models.CharField(max_length=12, choices=Condition)
    note = models.CharField(max_length=500, blank=True)
    keys = models.CharField("keys concerned", max_length=200, blank=True)
    value = models.DecimalField("measured", max_digits=9, decimal_places=3, null=True, blank=True)
    unit = models.CharField(max_length=20, blank=True)
    photo = models.ForeignKey(Photo, null=True, blank=True, on_delete=models.PROTECT, related_name="findings")
    is_public = models.BooleanField("may be shown to the public", default=True)
    supersedes = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="superseded_by"
    )
    found_on = models.DateField()
    found_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = FindingQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(value__isnull=True) | ~Q(unit=""), name="measured_finding_has_a_unit"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_part_display()}: {self.get_condition_display().lower()}"

    @property
    def value_words(self) -> str:
        """The figure as a person writes it, with its unit: "5.8 N·m"."""
        return f"{plain(exact(self.value))} {self.unit}" if self.value is not None else ""

    @property
    def is_fault(self) -> bool:
        return self.condition in CONDITIONS_THAT_ARE_FAULTS
