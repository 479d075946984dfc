from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, Instrument
from shop.models.lead import Lead
from shop.states import TaxScheme


def money(name: str):
    return models.PositiveBigIntegerField(name, default=0)


class OfferCalculation(AppendOnly):
    """What the most we may pay rested on, on one day. A changed mind is a new row."""

    lead = models.ForeignKey(
        Lead, null=True, blank=True, on_delete=models.PROTECT, related_name="calculations"
    )
    instrument = models.ForeignKey(
        Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="calculations"
    )
    sale_minor = models.PositiveBigIntegerField("expected sale price")
    hours = models.DecimalField(
        "bench hours",
        max_digits=6,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(2000))],
    )
    rate_minor = money("for an hour")
    parts_minor = money("parts and outwork")
    transport_minor = money("transport")
    registration_minor = money("registrations")
    tuning_minor = money("tunings")
    storage_minor = money("storage")
    delivery_minor = money("delivery we bear")
    reserve_minor = money("reserve for the guarantee")
    profit_minor = money("profit wanted")
    scheme = models.CharField("tax", max_length=10, choices=TaxScheme)
    rate_percent = models.DecimalField("tax rate", max_digits=6, decimal_places=3)
    most_minor = models.PositiveBigIntegerField("most we may pay")
    note = models.CharField("what it rests on", max_length=300, blank=True)
    calculated_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(lead__isnull=False, instrument__isnull=True)
                | Q(lead__isnull=True, instrument__isnull=False),
                name="offer_for_a_lead_or_an_instrument",
            ),
        ]

    def __str__(self) -> str:
        return f"calculation of {self.calculated_on:%-d %B %Y}"
