from django.db import models

from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument


class ChainLink(AppendOnly):
    """One record of an instrument's provenance, hashed together with all that came before it."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="chain")
    position = models.PositiveIntegerField()
    kind = models.CharField(max_length=20)
    row = models.PositiveBigIntegerField()
    row_sha256 = models.CharField(max_length=64)
    sha256 = models.CharField(max_length=64)
    linked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["instrument_id", "position"]
        constraints = [
            models.UniqueConstraint(fields=["instrument", "position"], name="one_link_at_each_place"),
            models.UniqueConstraint(fields=["kind", "row"], name="each_record_is_linked_once"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.row} at {self.position}"
