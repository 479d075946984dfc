"""An instrument that stays its owner's while the shop offers it: the terms, and what was paid out."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models import Instrument
from instruments.models.saving import KeptHistory
from shop.models.log import Logged
from shop.models.person import Person
from shop.models.promise import Promise
from shop.states import MONEY_METHODS


class SaleOrReturnQuerySet(models.QuerySet):
    def standing(self):
        """Not handed back: offered, or sold."""
        return self.filter(returned_on__isnull=True)


class SaleOrReturn(models.Model):
    """One agreement with one owner. It is sold when a sale of the instrument stands, and not before."""

    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="sale_or_returns")
    owner = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="sale_or_returns")
    share_percent = models.PositiveSmallIntegerField(
        "owner’s share of the price, in per cent",
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(100)],
    )
    net_minor = models.PositiveBigIntegerField("or a fixed sum to the owner", null=True, blank=True)
    least_minor = models.PositiveBigIntegerField("not to be sold for less than")
    begins_on = models.DateField("from")
    until = models.DateField("until")
    payout_days = models.PositiveSmallIntegerField(
        "paid out so many days after the sale", default=14, validators=[MaxValueValidator(90)]
    )
    may_be_lent = models.BooleanField("the owner agrees to home trials", default=False)
    terms = models.CharField("other terms", max_length=500, blank=True)
    returned_on = models.DateField("handed back on", null=True, blank=True)
    returned_why = models.CharField(max_length=200, blank=True)
    agreed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = SaleOrReturnQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name = "sale or return"
        constraints = [
            models.UniqueConstraint(
                fields=["instrument"],
                condition=Q(returned_on__isnull=True),
                name="one_standing_sale_or_return",
            ),
            models.CheckConstraint(
                condition=Q(share_percent__isnull=False, net_minor__isnull=True)
                | Q(share_percent__isnull=True, net_minor__isnull=False),
                name="owner_has_a_share_or_a_sum",
            ),
            models.CheckConstraint(
                condition=Q(until__gte=models.F("begins_on")), name="sale_or_return_ends_after_it_began"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number}: {self.instrument} for {self.owner}"

    def get_absolute_url(self) -> str:
        return reverse("shop:sale_or_return_page", args=[self.number])


class PayOut(Logged):
    """Money paid to an owner for an instrument that was sold; what came back from them is a negative row."""

    agreement = models.ForeignKey(SaleOrReturn, on_delete=models.PROTECT, related_name="payouts")
    promise = models.ForeignKey(Promise, on_delete=models.PROTECT, related_name="payouts")
    amount_minor = models.BigIntegerField()
    method = models.CharField(max_length=8, choices=MONEY_METHODS)
    reference = models.CharField(max_length=80, blank=True)
    paid_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.CheckConstraint(condition=~Q(amount_minor=0), name="payout_is_not_nothing")]

    def __str__(self) -> str:
        return f"{self.amount_minor} for {self.agreement.number} on {self.paid_on}"
