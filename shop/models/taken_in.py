from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from instruments.models import ConditionReport, Instrument
from instruments.models.saving import KeptHistory
from shop.models.person import Person


class TakenInQuerySet(models.QuerySet):
    def here(self):
        return self.filter(handed_back_on__isnull=True)

    def overdue(self, *, on):
        return self.here().filter(until__lt=on)


class TakenIn(models.Model):
    """A customer's own instrument, here for work. It never becomes stock by being here."""

    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="taken_in")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="left_with_us")
    was_ours = models.BooleanField("was sold by us before", default=False, editable=False)
    taken_in_on = models.DateField()
    until = models.DateField("to be collected or brought back by")
    condition = models.TextField("condition as it came", max_length=2000)
    accessories = models.CharField("what came with it", max_length=300, blank=True)
    report = models.ForeignKey(
        ConditionReport, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    terms = models.TextField("storage terms", max_length=2000, blank=True)
    taken_in_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    handed_back_on = models.DateField(null=True, blank=True)
    handed_back_to = models.CharField(max_length=120, blank=True)
    handed_back_note = models.CharField(max_length=300, blank=True)
    handed_back_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = TakenInQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name = "taking-in"
        verbose_name_plural = "takings-in"
        constraints = [
            models.UniqueConstraint(
                fields=["instrument"],
                condition=Q(handed_back_on__isnull=True),
                name="taken_in_once_at_a_time",
            ),
            models.CheckConstraint(
                condition=Q(until__gte=F("taken_in_on")), name="taken_in_until_a_later_day"
            ),
            models.CheckConstraint(
                condition=Q(handed_back_on__isnull=True, handed_back_by__isnull=True)
                | Q(handed_back_on__gte=F("taken_in_on"), handed_back_by__isnull=False),
                name="taken_in_handed_back_by_somebody_on_a_day",
            ),
        ]
        indexes = [
            models.Index(fields=["person", "-id"], name="taken_in_by_person"),
            models.Index(fields=["handed_back_on", "until"], name="taken_in_by_end"),
        ]

    def __str__(self) -> str:
        return f"{self.number}: {self.instrument} of {self.person}"

    def get_absolute_url(self) -> str:
        return reverse("shop:taken_in_page", args=[self.number])

    @property
    def is_here(self) -> bool:
        return self.handed_back_on is None
