from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q

from instruments.calc.condition.measures import measured_words
from instruments.models.append_only import AppendOnly
from instruments.models.condition_report import ConditionReport
from instruments.models.instrument import Instrument
from instruments.models.photo import Photo
from instruments.states import CONDITIONS_THAT_ARE_FAULTS, Condition, Part


class FindingQuerySet(models.QuerySet):
    def current(self):
        """The last word on each part: rows that no later finding has replaced.

        That nobody looked at a part this time takes nothing back of what was found before.
        """
        examined = Finding.objects.filter(
            instrument=OuterRef("instrument"), part=OuterRef("part"), superseded_by__isnull=True
        ).exclude(condition=Condition.NOT_EXAMINED)
        return self.filter(superseded_by__isnull=True).exclude(
            Q(condition=Condition.NOT_EXAMINED) & Exists(examined)
        )

    def faults(self):
        return self.current().filter(condition__in=CONDITIONS_THAT_ARE_FAULTS)

    def public(self):
        return self.filter(is_public=True)

    def with_values(self):
        """With what was measured, so that `value_words` asks the database nothing."""
        return self.prefetch_related("values")


class Finding(AppendOnly):
    """What hands and eyes found of one part on one day."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="findings")
    report = models.ForeignKey(
        ConditionReport, null=True, blank=True, on_delete=models.PROTECT, related_name="findings"
    )
    part = models.CharField(max_length=12, choices=Part)
    condition = models.CharField(max_length=12, choices=Condition)
    note = models.CharField(max_length=500, blank=True)
    keys = models.CharField("keys concerned", max_length=200, blank=True)
    signs = models.JSONField("signs that may end a purchase", default=list, blank=True)
    # The one figure a finding had before there were several; those rows have it as a MeasuredValue too.
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
        """What was measured, as a person writes it: "lowest torque 5.8 N·m; coils 5 mm above the frame"."""
        return "; ".join(value.words for value in self.values.all())

    @property
    def is_fault(self) -> bool:
        return self.condition in CONDITIONS_THAT_ARE_FAULTS


class MeasuredValue(AppendOnly):
    """One figure, or one answer of a test, written down with the finding it belongs to.

    `measure` is a code of fixtures/condition_measures.json; without one it is a figure of an older record.
    The name is kept as it read that day.
    """

    finding = models.ForeignKey(Finding, on_delete=models.PROTECT, related_name="values")
    measure = models.SlugField(max_length=40, blank=True)
    name = models.CharField(max_length=60, blank=True)
    number = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    answer = models.CharField(max_length=30, blank=True)
    unit = models.CharField(max_length=20, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(number__isnull=False, answer="") | Q(number__isnull=True) & ~Q(answer=""),
                name="measured_value_is_a_figure_or_an_answer",
            ),
            models.CheckConstraint(
                condition=Q(number__isnull=True) | ~Q(unit=""), name="measured_figure_has_a_unit"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.finding.get_part_display()}: {self.words}"

    @property
    def words(self) -> str:
        return measured_words(self.name, self.number, self.answer, self.unit)
