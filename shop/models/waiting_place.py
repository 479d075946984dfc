from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q

from instruments.models import Instrument
from instruments.models.saving import KeptHistory
from shop.models.person import Person
from shop.models.promise import Promise
from shop.states import WaitingOutcome


class WaitingPlaceQuerySet(models.QuerySet):
    def open(self):
        return self.filter(closed_on__isnull=True)

    def in_turn(self):
        """Places whose instrument is promised to nobody, and before which nobody waits for it."""
        before = WaitingPlace.objects.open().filter(instrument=OuterRef("instrument"), pk__lt=OuterRef("pk"))
        promised = Promise.objects.open().filter(instrument=OuterRef("instrument"))
        in_turn = WaitingPlace.objects.open().filter(~Exists(before), ~Exists(promised))
        return self.filter(pk__in=in_turn.order_by().values("pk"))  # by their keys, before what is joined


class WaitingPlace(models.Model):
    """Somebody's place behind an open promise. It promises nothing; the first to join is asked first."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="waiting_places")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="waiting_places")
    note = models.CharField(max_length=300, blank=True)
    since = models.DateField()
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    outcome = models.CharField(max_length=6, choices=WaitingOutcome, blank=True)
    closed_on = models.DateField(null=True, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = WaitingPlaceQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["instrument", "person"],
                condition=Q(closed_on__isnull=True),
                name="one_open_waiting_place_per_person",
            ),
            models.CheckConstraint(
                condition=Q(closed_on__isnull=True, outcome="")
                | (Q(closed_on__isnull=False) & ~Q(outcome="")),
                name="waiting_place_closed_with_an_outcome",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} waits for {self.instrument}"
