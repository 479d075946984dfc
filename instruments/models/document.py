from django.conf import settings
from django.db import models

from instruments.calc import edtf
from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.states import WhoMaySee


class DocumentQuerySet(models.QuerySet):
    def open_to(self, user):
        """Those a person at work may see."""
        private = user.has_perm("instruments.see_private_documents")
        return self if private else self.filter(seen_by=WhoMaySee.STAFF)


class Document(AppendOnly):
    """A scan kept byte for byte: an invoice, a card from under the lid, a letter. Never public."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="documents")
    title = models.CharField("what it is", max_length=120)
    dated = models.CharField("its date", max_length=60, blank=True)
    file = models.FileField(max_length=200)
    original_name = models.CharField(max_length=200, blank=True)
    media_type = models.CharField(max_length=40)
    sha256 = models.CharField(max_length=64)
    byte_count = models.PositiveBigIntegerField()
    seen_by = models.CharField("who may see it", max_length=6, choices=WhoMaySee, default=WhoMaySee.STAFF)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    added_at = models.DateTimeField(auto_now_add=True)

    objects = DocumentQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["instrument", "sha256"], name="document_once_per_instrument"),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def dated_words(self) -> str:
        return edtf.describe(self.dated) if self.dated else ""
