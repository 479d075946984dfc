"""Visits to an instrument at its new home: booked, then written up once; a mistake is written up again."""

from django.conf import settings
from django.db import models
from django.db.models import OuterRef, Q, Subquery
from django.urls import reverse

from instruments.calc.climate import COLDEST_C, HOTTEST_C
from instruments.models import AppendOnly, Instrument
from instruments.models.saving import KeptHistory
from instruments.states import PitchUnit
from shop.care_states import VisitKind, VisitState
from shop.models.call_back import CallBack
from shop.models.purchase import CostLine
from shop.models.sale import Sale


class CareVisitQuerySet(models.QuerySet):
    def booked(self):
        return self.filter(state=VisitState.BOOKED)

    def with_done_on(self):
        """Each with `done_on`, the day on which it was done; none where it was not."""
        done = VisitRecord.objects.standing().filter(visit=OuterRef("pk"), was_done=True)
        return self.annotate(done_on=Subquery(done.values("visited_on")[:1]))

    def late(self, *, on):
        """Booked for a day that has passed, and nobody has written what came of it."""
        return self.booked().filter(booked_for__lt=on)


class CareVisit(models.Model):
    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="care_visits")
    sale = models.ForeignKey(
        Sale, null=True, blank=True, on_delete=models.PROTECT, related_name="care_visits"
    )
    call_back = models.ForeignKey(
        CallBack, null=True, blank=True, on_delete=models.PROTECT, related_name="visits"
    )
    kind = models.CharField(max_length=10, choices=VisitKind, default=VisitKind.TUNING)
    included = models.BooleanField("in the price of the sale", default=False)
    booked_for = models.DateField("day")
    who = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        related_name="care_visits",
        verbose_name="who goes",
    )
    where = models.TextField("where, and how to get in", max_length=500, blank=True)
    note = models.CharField("what for", max_length=300, blank=True)
    state = models.CharField(max_length=8, choices=VisitState, default=VisitState.BOOKED)
    booked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = CareVisitQuerySet.as_manager()

    class Meta:
        ordering = ["-booked_for", "-id"]
        verbose_name = "visit"
        constraints = [
            models.CheckConstraint(
                condition=Q(included=False) | Q(sale__isnull=False, kind=VisitKind.TUNING),
                name="included_visit_is_a_tuning_of_a_sale",
            ),
            models.CheckConstraint(
                condition=Q(kind=VisitKind.TUNING, call_back__isnull=True)
                | Q(kind=VisitKind.CALL_BACK, call_back__isnull=False),
                name="call_back_visit_names_its_call_back",
            ),
        ]
        indexes = [models.Index(fields=["state", "booked_for"], name="care_visit_by_state_and_day")]

    def __str__(self) -> str:
        return f"{self.number}: {self.get_kind_display().lower()} of {self.instrument}"

    def get_absolute_url(self) -> str:
        return reverse("shop:visit_page", args=[self.number])

    @property
    def is_booked(self) -> bool:
        return self.state == VisitState.BOOKED


class VisitRecordQuerySet(models.QuerySet):
    def standing(self):
        """What was not written up again since."""
        return self.filter(corrected_by__isnull=True)

    def tunings(self):
        return self.standing().filter(was_done=True, visit__kind=VisitKind.TUNING)


class VisitRecord(AppendOnly):
    """What came of a visit: what was found, left and said, or why nothing was done."""

    visit = models.ForeignKey(CareVisit, on_delete=models.PROTECT, related_name="records")
    was_done = models.BooleanField()
    visited_on = models.DateField()
    visited_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    pitch_unit = models.CharField(max_length=5, choices=PitchUnit, blank=True)
    pitch_found = models.DecimalField("A4 as found", max_digits=7, decimal_places=2, null=True, blank=True)
    pitch_left = models.DecimalField("A4 as left", max_digits=7, decimal_places=2, null=True, blank=True)
    a4_hz = models.DecimalField("A4 it was held against", max_digits=5, decimal_places=2, null=True)
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    temperature_c = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    minutes = models.PositiveSmallIntegerField("minutes at the piano", default=0)
    travel_minutes = models.PositiveSmallIntegerField("minutes on the way", default=0)
    work = models.TextField("what was done", max_length=1500, blank=True)
    keys = models.CharField("notes it concerned", max_length=200, blank=True)
    advice = models.CharField("what was advised", max_length=500, blank=True)
    note = models.CharField("kept to ourselves", max_length=500, blank=True)
    why_not = models.CharField("why it was not done", max_length=300, blank=True)
    next_due_on = models.DateField("next due", null=True, blank=True)
    cost_line = models.OneToOneField(
        CostLine, null=True, blank=True, on_delete=models.PROTECT, related_name="visit_record"
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = VisitRecordQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name = "visit written up"
        constraints = [
            models.UniqueConstraint(
                fields=["visit"], condition=Q(corrects__isnull=True), name="visit_written_up_once"
            ),
            models.CheckConstraint(
                condition=Q(was_done=True, why_not="") | (Q(was_done=False) & ~Q(why_not="")),
                name="visit_done_or_why_not",
            ),
            models.CheckConstraint(
                condition=(Q(humidity_percent__isnull=True) | Q(humidity_percent__range=(0, 100)))
                & (Q(temperature_c__isnull=True) | Q(temperature_c__range=(int(COLDEST_C), int(HOTTEST_C)))),
                name="visit_in_air_that_can_be",
            ),
            models.CheckConstraint(
                condition=Q(pitch_found__isnull=True, pitch_left__isnull=True)
                | (~Q(pitch_unit="") & Q(a4_hz__isnull=False)),
                name="visit_pitch_in_a_unit",
            ),
        ]

    def __str__(self) -> str:
        done = "done" if self.was_done else f"not done: {self.why_not}"
        return f"{self.visit.get_kind_display()} of {self.visited_on:%-d %B %Y}, {done}"
