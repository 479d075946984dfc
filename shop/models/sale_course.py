"""What happens to a sale between the agreement and its end: how it was agreed, brought, mended, given up."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from instruments.models import AppendOnly, ClimateReading, ConditionReport
from shop.models.part_exchange import HandedOver
from shop.models.sale import Sale
from shop.states import ContractPlace, SaleEndingKind


def recorded_by():
    return models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")


class SaleAgreed(AppendOnly):
    """Where a sale was agreed, with whom, and when its right to cancel was explained. The newest holds.

    A sale without one was written down before this was asked: nothing is known, and nothing is assumed.
    """

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="agreed_rows")
    agreed_where = models.CharField("where it was agreed", max_length=12, choices=ContractPlace)
    is_consumer = models.BooleanField("bought for themselves, not for a business", default=True)
    informed_on = models.DateField("had the cancellation information on", null=True, blank=True)
    note = models.CharField("how it was agreed", max_length=300, blank=True)
    recorded_by = recorded_by()
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        verbose_name = "how a sale was agreed"

    def __str__(self) -> str:
        return f"{self.sale.number} agreed {self.get_agreed_where_display().lower()}"


class SaleDelivery(AppendOnly):
    """How an instrument sold gets to its buyer: planned, and once it is there, as it was handed over.

    The newest row holds. `planned_on` is the day agreed with the buyer; `hand_over` carries the day it came.
    """

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="deliveries")
    planned_on = models.DateField("day agreed", null=True, blank=True)
    address = models.TextField("where it goes", max_length=400, blank=True)
    access = models.CharField("the way in", max_length=300, blank=True)
    mover = models.CharField("who moves it", max_length=120, blank=True)
    hand_over = models.OneToOneField(
        HandedOver, null=True, blank=True, on_delete=models.PROTECT, related_name="delivery"
    )
    received_by = models.CharField("received by", max_length=120, blank=True)
    set_up_on = models.DateField("set up on", null=True, blank=True)
    report = models.ForeignKey(
        ConditionReport, null=True, blank=True, on_delete=models.PROTECT, related_name="deliveries"
    )
    climate = models.ForeignKey(
        ClimateReading, null=True, blank=True, on_delete=models.PROTECT, related_name="deliveries"
    )
    note = models.CharField(max_length=300, blank=True)
    recorded_by = recorded_by()
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        verbose_name = "delivery of a sale"
        verbose_name_plural = "deliveries of sales"
        constraints = [
            models.CheckConstraint(
                condition=Q(hand_over__isnull=True) | ~Q(received_by=""), name="delivered_to_somebody"
            ),
            models.CheckConstraint(
                condition=Q(hand_over__isnull=False) | Q(planned_on__isnull=False),
                name="delivery_planned_or_done",
            ),
        ]

    def __str__(self) -> str:
        if self.hand_over:
            return f"{self.hand_over}, received by {self.received_by}"
        return f"{self.sale.number} to be delivered by {self.planned_on:%-d %B %Y}"


class RepairAsked(AppendOnly):
    """The buyer asks for a repair or a replacement: their days to reject stand still from that day."""

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="repairs")
    asked_on = models.DateField()
    what = models.CharField("what is wrong", max_length=300)
    recorded_by = recorded_by()
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["asked_on", "id"]
        verbose_name = "repair asked for"
        verbose_name_plural = "repairs asked for"

    def __str__(self) -> str:
        return f"{self.sale.number}, repair asked for on {self.asked_on:%-d %B %Y}"


class RepairBack(AppendOnly):
    """The instrument is with its buyer again, and whether that put it right: the days run on."""

    asked = models.OneToOneField(RepairAsked, on_delete=models.PROTECT, related_name="back")
    back_on = models.DateField()
    put_right = models.BooleanField("it is put right")
    note = models.CharField(max_length=300, blank=True)
    recorded_by = recorded_by()
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name = "repair brought back"
        verbose_name_plural = "repairs brought back"

    def __str__(self) -> str:
        return f"Back on {self.back_on:%-d %B %Y}, {'put right' if self.put_right else 'not put right'}"


class SaleNotice(AppendOnly):
    """The buyer's word that a sale is to end, and what has happened since. The newest holds.

    From here the day counts by which the money is given back. `SaleEnding` is the carrying out.
    """

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="notices")
    kind = models.CharField(max_length=10, choices=SaleEndingKind)
    told_on = models.DateField("told or sent on")
    agreed_on = models.DateField("we agreed on", null=True, blank=True)
    collection_offered = models.BooleanField("we fetch it", default=True)
    sent_on = models.DateField("proof of sending from", null=True, blank=True)
    back_on = models.DateField("back with us on", null=True, blank=True)
    reason = models.CharField("what they said", max_length=300, blank=True)
    is_taken_back = models.BooleanField("they keep it after all", default=False)
    recorded_by = recorded_by()
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        verbose_name = "notice to end a sale"
        verbose_name_plural = "notices to end sales"
        constraints = [
            models.CheckConstraint(
                condition=Q(agreed_on__isnull=True) | Q(agreed_on__gte=F("told_on")),
                name="rejection_agreed_after_it_was_told",
            )
        ]

    def __str__(self) -> str:
        return f"{self.sale.number}, {self.get_kind_display().lower()}, told on {self.told_on:%-d %B %Y}"
