"""What an instrument cost to get and to keep, beside the bench."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, Instrument
from instruments.states import Covering
from shop.models.person import Person
from shop.states import CostKind, PurchaseRoute


class Purchase(AppendOnly):
    """How an instrument came to the shop. A correction is a new row; the newest holds."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="purchases")
    seller = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="sold_to_us"
    )
    route = models.CharField(max_length=13, choices=PurchaseRoute, default=PurchaseRoute.PRIVATE)
    price_minor = models.PositiveBigIntegerField("price paid", null=True, blank=True)
    bought_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["instrument"],
                condition=Q(corrects__isnull=True),
                name="one_first_purchase_per_instrument",
            ),
        ]

    def __str__(self) -> str:
        return f"purchase of {self.instrument}"


class CostLine(AppendOnly):
    """Money spent on one instrument outside the bench. A correction is a line with the opposite sign."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="cost_lines")
    kind = models.CharField(max_length=12, choices=CostKind)
    amount_minor = models.BigIntegerField()
    spent_on = models.DateField()
    note = models.CharField(max_length=200, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.CheckConstraint(condition=~Q(amount_minor=0), name="cost_line_is_not_nothing")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.spent_on}"


class AskingPrice(AppendOnly):
    """The newest row is the price asked today."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="asking_prices")
    amount_minor = models.PositiveBigIntegerField()
    reason = models.CharField("why", max_length=200, blank=True)
    set_on = models.DateField()
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(condition=Q(amount_minor__gt=0), name="asking_price_above_nothing")
        ]
        indexes = [models.Index(fields=["instrument", "-id"], name="asking_price_newest")]

    def __str__(self) -> str:
        return f"asking price since {self.set_on}"


class Clearance(AppendOnly):
    """What was found of ivory or other protected material, and the reference that lets us deal in it."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="clearances")
    found = models.CharField("what was found", max_length=200)
    how = models.CharField("how it was examined", max_length=200)
    no_protected_material = models.BooleanField("there is none in it", default=False)
    reference = models.CharField("registration or certificate reference", max_length=60, blank=True)
    issued_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(no_protected_material=True, reference="") | Q(no_protected_material=False),
                name="clearance_without_material_has_no_reference",
            ),
        ]

    def __str__(self) -> str:
        return self.reference or self.found

    @property
    def clears(self) -> bool:
        """A reference clears. "None in it" does too, but not against the identity, where that says ivory."""
        coverings = {self.instrument.natural_covering, self.instrument.sharp_covering}
        return bool(self.reference) or (self.no_protected_material and Covering.IVORY not in coverings)
