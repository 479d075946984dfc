from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, Instrument
from shop.models.sale import Sale
from shop.models.trial import Trial
from shop.states import PaperKind


class Paper(AppendOnly):
    """A document as it was printed, byte for byte, with the facts it was printed from."""

    kind = models.CharField(max_length=16, choices=PaperKind)
    number = models.CharField(max_length=30)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="papers")
    trial = models.ForeignKey(Trial, null=True, blank=True, on_delete=models.PROTECT, related_name="papers")
    sale = models.ForeignKey(Sale, null=True, blank=True, on_delete=models.PROTECT, related_name="papers")
    file = models.FileField(max_length=200)
    sha256 = models.CharField(max_length=64)
    facts = models.JSONField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "number"],
                condition=Q(kind__in=[PaperKind.INVOICE, PaperKind.CREDIT_NOTE]),
                name="one_invoice_or_credit_note_per_number",
            ),
            models.UniqueConstraint(
                fields=["number"],
                condition=Q(kind=PaperKind.RECEIPT),
                name="one_receipt_paper_per_number",
            ),
            models.UniqueConstraint(
                fields=["number"], condition=Q(kind=PaperKind.HOLD), name="one_hold_paper_per_number"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.number}"
