"""What was done when a person asked for their data: handed out or taken away. Nothing personal here."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly
from shop.models.person import Person


class AskedHow(models.TextChoices):
    """How somebody asked for their data, or for it to go."""

    IN_PERSON = "in_person", "In the shop"
    TELEPHONE = "telephone", "By telephone"
    EMAIL = "email", "By e-mail"
    LETTER = "letter", "By letter"


class ErasureKind(models.TextChoices):
    WHOLE = "whole", "Erased whole"
    CLOSED = "closed", "Closed; the rest is kept for the books"
    DUE = "due", "What was kept is erased, its time being over"


class PersonExport(AppendOnly):
    """One time that everything held about a person was put into one file for them."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="exports")
    asked_how = models.CharField("how they asked", max_length=9, choices=AskedHow)
    asked_on = models.DateField("when they asked")
    sha256 = models.CharField(max_length=64)
    byte_count = models.PositiveBigIntegerField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"data handed out, asked for {self.get_asked_how_display().lower()}"


class Erasure(AppendOnly):
    """What was taken away of a person, when, and until when the rest is kept because of what."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="erasures")
    kind = models.CharField(max_length=6, choices=ErasureKind)
    asked_how = models.CharField("how they asked", max_length=9, choices=AskedHow, blank=True)
    asked_on = models.DateField("when they asked", null=True, blank=True)
    kept_for = models.JSONField("what is kept, by its code", default=list)
    kept_until = models.DateField("the last of it is kept until", null=True, blank=True)
    erased_on = models.DateField()
    erased_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind=ErasureKind.DUE) | (~Q(asked_how="") & Q(asked_on__isnull=False)),
                name="erasure_was_asked_for_or_fell_due",
            ),
        ]

    def __str__(self) -> str:
        return self.get_kind_display()


class Removal(AppendOnly):
    """A stone for words or a file taken out of a record that is otherwise never changed.

    It keeps what the row's fingerprint is since, and what the file's was, so that `manage.py verify` can tell
    this from tampering.
    """

    erasure = models.ForeignKey(Erasure, on_delete=models.PROTECT, related_name="removals")
    kind = models.CharField(max_length=60)
    row = models.PositiveBigIntegerField()
    row_sha256 = models.CharField("of the row since", max_length=64)
    file_sha256 = models.CharField("of the file that went", max_length=64, blank=True)
    removed_on = models.DateField()
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["kind", "row"], name="words_of_a_row_go_once")]

    def __str__(self) -> str:
        return f"{self.kind} {self.row}, removed on {self.removed_on:%-d %B %Y} after retention"
