"""What is written down while a home trial runs. Each row stays; a newer one stands in its place."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, ClimateReading, ConditionReport, Document
from shop.calc.access import flight_words, floor_words
from shop.models.trial import Trial
from shop.trial_states import Heating, Leg


class TrialRow(AppendOnly):
    """Of one trial, by somebody who works here."""

    trial = models.ForeignKey(Trial, on_delete=models.PROTECT, related_name="%(class)s_rows")
    note = models.CharField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        abstract = True
        ordering = ["-id"]


class AccessSurvey(TrialRow):
    """The way in, as somebody told it or we saw it. The newest is the one to go by."""

    asked_on = models.DateField()
    told_by = models.CharField("who told us", max_length=120)
    floor = models.SmallIntegerField("floor it goes to")
    flights = models.JSONField("steps of each flight", default=list)
    turns = models.PositiveSmallIntegerField("turns in the stairs", default=0)
    landings = models.PositiveSmallIntegerField(default=0)
    doors_cm = models.JSONField("widths of the doors in cm", default=list)
    surface = models.CharField("ground outside", max_length=120, blank=True)
    parking_m = models.PositiveSmallIntegerField("from the vehicle to the door, in m", null=True, blank=True)
    has_lift = models.BooleanField("a lift that takes it", default=False)
    picture = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="access_surveys"
    )

    class Meta(TrialRow.Meta):
        constraints = [models.CheckConstraint(condition=Q(floor__range=(-5, 60)), name="access_to_a_floor")]

    def __str__(self) -> str:
        return f"{floor_words(self.floor)}, {flight_words(self.flights)}"


class MoverBooking(TrialRow):
    """Who moves it on which day, for which sum. The newest of each way is the one agreed."""

    leg = models.CharField("which way", max_length=4, choices=Leg)
    mover = models.CharField("who moves it", max_length=120)
    day = models.DateField("agreed day")
    amount_minor = models.PositiveBigIntegerField("agreed sum", null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.mover}, {self.get_leg_display().lower()} on {self.day:%-d %B %Y}"


class TrialDelivery(TrialRow):
    """The instrument stood in its room on that day."""

    delivered_on = models.DateField()
    received_by = models.CharField("who received it", max_length=120)
    room_position = models.CharField("where in the room", max_length=200, blank=True)
    heating = models.CharField(max_length=10, choices=Heating, default=Heating.NOT_KNOWN)
    report = models.ForeignKey(
        ConditionReport, null=True, blank=True, on_delete=models.PROTECT, related_name="trial_deliveries"
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )

    class Meta(TrialRow.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["trial"], condition=Q(corrects__isnull=True), name="a_trial_is_delivered_once"
            )
        ]

    def __str__(self) -> str:
        return f"Delivered on {self.delivered_on:%-d %B %Y} to {self.received_by}"


class HomeClimate(TrialRow):
    """The air at the customer's, measured by us or told by them; the reading stands with the instrument's."""

    reading = models.OneToOneField(ClimateReading, on_delete=models.PROTECT, related_name="at_home")
    told_by = models.CharField("who told us; empty where we measured", max_length=120, blank=True)

    def __str__(self) -> str:
        how = f"told by {self.told_by}" if self.told_by else "measured by us"
        return f"{self.reading}, {how}"


class TrialCollection(TrialRow):
    """The instrument was fetched on that day."""

    collected_on = models.DateField()
    mover = models.CharField("who fetched it", max_length=120)
    handed_over_by = models.CharField("who handed it over", max_length=120)
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )

    class Meta(TrialRow.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["trial"], condition=Q(corrects__isnull=True), name="a_trial_is_collected_once"
            )
        ]

    def __str__(self) -> str:
        return f"Collected on {self.collected_on:%-d %B %Y} from {self.handed_over_by} by {self.mover}"
