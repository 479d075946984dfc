"""What is said of an instrument, by whom, and how it is known."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.calc import edtf
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.states import GRADES_THAT_STAND, Asserts, Grade, Teller, Topic


class StatementQuerySet(models.QuerySet):
    def current(self):
        """Without those that a later statement has replaced."""
        return self.filter(superseded_by__isnull=True)

    def public(self):
        return self.filter(is_public=True)


class Statement(AppendOnly):
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="statements")
    topic = models.CharField(max_length=12, choices=Topic, default=Topic.GENERAL)
    text = models.TextField(max_length=4000)
    in_their_words = models.BooleanField("in the teller's own words", default=False)
    dated = models.CharField("when it happened", max_length=60, blank=True)
    earliest = models.DateField(null=True, blank=True, editable=False)
    latest = models.DateField(null=True, blank=True, editable=False)
    place = models.CharField(max_length=120, blank=True)
    grade = models.CharField("how we know it", max_length=10, choices=Grade)
    source_note = models.CharField("source or reason", max_length=300, blank=True)
    asserts = models.CharField("what it asserts", max_length=10, choices=Asserts, blank=True)
    who = models.CharField("maker or owner concerned", max_length=120, blank=True)
    told_by = models.CharField(max_length=120, blank=True)
    teller = models.CharField(
        "who that is to the instrument",
        max_length=30,
        choices=Teller,
        blank=True,
        help_text="Printed in place of the name.",
    )
    told_on = models.DateField(null=True, blank=True)
    is_public = models.BooleanField("may be shown to the public", default=False)
    supersedes = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="superseded_by"
    )
    supersede_reason = models.CharField("why it is corrected", max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = StatementQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=~Q(text=""), name="statement_says_something"),
            models.CheckConstraint(
                condition=~Q(grade=Grade.TOLD) | ~Q(told_by=""), name="told_statement_names_its_teller"
            ),
            models.CheckConstraint(
                condition=Q(supersedes__isnull=True) | ~Q(supersede_reason=""),
                name="correction_of_statement_says_why",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_topic_display()}: {self.text[:60]}"

    def save(self, *args, **kwargs):
        self.earliest, self.latest = edtf.bounds(self.dated) if self.dated else (None, None)
        super().save(*args, **kwargs)

    @property
    def stands(self) -> bool:
        """Seen, measured, marked or documented, and so more than somebody's word."""
        return self.grade in GRADES_THAT_STAND

    @property
    def dated_words(self) -> str:
        return edtf.describe(self.dated) if self.dated else ""
