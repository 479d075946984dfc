"""What bears on a statement: tell-tales, photos, findings, measurements, documents; for it or against."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models.append_only import AppendOnly
from instruments.models.condition_report import ConditionReport
from instruments.models.document import Document
from instruments.models.finding import Finding, MeasuredValue
from instruments.models.instrument import Instrument
from instruments.models.photo import Photo
from instruments.models.pin import PinSurvey
from instruments.models.pitch import PitchSurvey
from instruments.models.saving import KeptHistory
from instruments.models.statement import Statement
from instruments.models.weighing import Weighing
from instruments.states import Side, Strength


class TellTale(models.Model):
    """One thing to look for, and the answers it speaks for and against; the shop may edit it."""

    question = models.SlugField(max_length=40)
    code = models.SlugField(max_length=60)
    text = models.CharField("what is seen", max_length=300)
    look = models.CharField("how to look", max_length=300, blank=True)
    speaks_for = models.JSONField(default=list)
    speaks_against = models.JSONField(default=list)
    strength = models.CharField(max_length=6, choices=Strength, default=Strength.WEAK)
    source = models.CharField(max_length=200, default="common practice, no source")
    caution = models.CharField(max_length=400, blank=True)
    in_use = models.BooleanField("we look for it", default=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["question", "id"]
        constraints = [
            models.UniqueConstraint(fields=["question", "code"], name="tell_tale_once_per_question"),
        ]

    def __str__(self) -> str:
        return self.text


class SightingQuerySet(models.QuerySet):
    def current(self):
        """The last word on each tell-tale of an instrument."""
        newer = Sighting.objects.filter(
            instrument=models.OuterRef("instrument"),
            tell_tale=models.OuterRef("tell_tale"),
            pk__gt=models.OuterRef("pk"),
        )
        return self.filter(~models.Exists(newer))

    def seen(self):
        return self.current().filter(is_seen=True)


class Sighting(AppendOnly):
    """A tell-tale seen in one instrument, or, in a later row, taken back."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="sightings")
    tell_tale = models.ForeignKey(TellTale, on_delete=models.PROTECT, related_name="sightings")
    is_seen = models.BooleanField(default=True)
    note = models.CharField(max_length=300, blank=True)
    photo = models.ForeignKey(
        Photo, null=True, blank=True, on_delete=models.PROTECT, related_name="sightings"
    )
    seen_on = models.DateField()
    seen_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = SightingQuerySet.as_manager()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{'Seen' if self.is_seen else 'Not seen after all'}: {self.tell_tale.text}"


class EvidenceQuerySet(models.QuerySet):
    def current(self):
        return self.filter(retracted_by__isnull=True, retracts__isnull=True)


class Evidence(AppendOnly):
    """One piece for or against a statement; a retraction is a row that points at what it takes back."""

    statement = models.ForeignKey(Statement, on_delete=models.PROTECT, related_name="evidence")
    side = models.CharField("it speaks", max_length=7, choices=Side)
    strength = models.CharField("how strongly", max_length=6, choices=Strength)
    note = models.CharField("what it shows", max_length=300)
    is_hearsay = models.BooleanField("somebody's word", default=False)
    photo = models.ForeignKey(Photo, null=True, blank=True, on_delete=models.PROTECT, related_name="evidence")
    finding = models.ForeignKey(
        Finding, null=True, blank=True, on_delete=models.PROTECT, related_name="evidence"
    )
    document = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="evidence"
    )
    weighing = models.ForeignKey(
        Weighing, null=True, blank=True, on_delete=models.PROTECT, related_name="evidence"
    )
    measured_value = models.ForeignKey(
        MeasuredValue, null=True, blank=True, on_delete=models.PROTECT, related_name="evidence"
    )
    report = models.ForeignKey(
        ConditionReport, null=True, blank=True, on_delete=models.PROTECT, related_name="evidence"
    )
    pin_survey = models.ForeignKey(
        PinSurvey, null=True, blank=True, on_delete=models.PROTECT, related_name="evidence"
    )
    pitch_survey = models.ForeignKey(
        PitchSurvey, null=True, blank=True, on_delete=models.PROTECT, related_name="evidence"
    )
    retracts = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="retracted_by"
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = EvidenceQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "evidence"
        constraints = [models.CheckConstraint(condition=~Q(note=""), name="evidence_says_what_it_shows")]

    def __str__(self) -> str:
        return f"{self.get_side_display()}, {self.get_strength_display().lower()}: {self.note}"
