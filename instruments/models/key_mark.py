"""Faults marked at single keys, and what cleared them. Both are only ever added to."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from instruments.calc.compass import note_label
from instruments.key_faults import SIGNS, ClearedBy, FaultSign, KeyFault
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.models.photo import Photo


class KeyMarkQuerySet(models.QuerySet):
    def open(self):
        """Marks that nothing has cleared yet."""
        return self.filter(clearing__isnull=True)

    def cleared(self):
        return self.filter(clearing__isnull=False)

    def told(self):
        """Newest first, with who marked and who cleared."""
        return self.select_related("marked_by", "clearing__cleared_by").order_by("-id")


class KeyMark(AppendOnly):
    """One fault at one key, found on one day.

    A key has at most one open mark for each fault, and the database holds it to that: the first mark stands
    on nothing (once for each key and fault), and every further one on the clearing of the one before it,
    which no other mark can stand on.
    """

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="key_marks")
    key = models.SmallIntegerField(help_text="1 is A0, 88 is C8")
    fault = models.CharField(max_length=16, choices=KeyFault)
    note = models.CharField(max_length=200, blank=True)
    photo = models.ForeignKey(
        Photo, null=True, blank=True, on_delete=models.PROTECT, related_name="key_marks"
    )
    after = models.OneToOneField(
        "KeyMarkClearing", null=True, blank=True, on_delete=models.PROTECT, related_name="marked_again"
    )
    marked_on = models.DateField()
    marked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = KeyMarkQuerySet.as_manager()

    class Meta:
        ordering = ["key", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["instrument", "key", "fault"],
                condition=Q(after__isnull=True),
                name="one_first_mark_per_key_and_fault",
            ),
        ]

    def __str__(self) -> str:
        return f"{note_label(self.key)}: {self.get_fault_display().lower()}"

    @property
    def sign(self) -> FaultSign:
        return SIGNS[KeyFault(self.fault)]


class KeyMarkClearing(AppendOnly):
    """The end of a mark: by work or on a second look, and what was found then."""

    mark = models.OneToOneField(KeyMark, on_delete=models.PROTECT, related_name="clearing")
    how = models.CharField(max_length=8, choices=ClearedBy)
    found = models.CharField("what was found", max_length=500)
    note = models.CharField(max_length=200, blank=True)
    cleared_on = models.DateField()
    cleared_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=~Q(found=""), name="cleared_mark_says_what_was_found"),
        ]

    def __str__(self) -> str:
        return f"{self.mark} cleared {self.get_how_display()}: {self.found}"
