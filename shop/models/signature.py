"""Who signed which paper: drawn as lines, by typing the name, or in ink, of which a picture is kept."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, Document
from shop.models.paper import Paper
from shop.states import Signer, SigningWay


class PaperSignature(AppendOnly):
    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, related_name="signatures")
    signer = models.CharField(max_length=8, choices=Signer)
    name = models.CharField(max_length=120)
    way = models.CharField(max_length=6, choices=SigningWay)
    strokes = models.JSONField(null=True, blank=True)
    document = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="signatures"
    )
    content_hash = models.CharField("of the words that were signed", max_length=64)
    signed_at = models.DateTimeField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(way=SigningWay.SCREEN, strokes__isnull=False, document__isnull=True)
                | Q(way=SigningWay.TYPED, strokes__isnull=True, document__isnull=True)
                | Q(way=SigningWay.PAPER, strokes__isnull=True, document__isnull=False),
                name="signature_is_drawn_typed_or_on_file",
            ),
            models.UniqueConstraint(
                fields=["paper", "signer"],
                condition=Q(way__in=[SigningWay.SCREEN, SigningWay.TYPED]),
                name="one_screen_signature_for_each_signer",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.get_way_display().lower()}"
