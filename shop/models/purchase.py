"""What an instrument cost to get and to keep, beside the bench."""

from django.conf import settings
from django.db import models
from django.db.models import F, OuterRef, Q, Subquery, Sum
from django.db.models.functions import Coalesce

from instruments.models import Document, Instrument
from shop.log_states import LogKind
from shop.models.log import Logged
from shop.models.person import Person
from shop.models.promise import Promise
from shop.states import (
    MONEY_METHODS,
    CostKind,
    InvoiceLabel,
    ProtectedTold,
    PurchaseRoute,
    SellerKind,
    SellsAs,
)

# What is allowed is paid by the allowance; what was sold for its owner is paid by its own agreement.
PAID_ELSEWHERE = (PurchaseRoute.PART_EXCHANGE, PurchaseRoute.SALE_OR_RETURN)


class PurchaseQuerySet(models.QuerySet):
    def with_paid(self):
        """Each with `paid_minor`, what its seller was paid for the instrument by all its rows together."""
        rows = SellerPayment.objects.filter(purchase__instrument=OuterRef("instrument")).order_by()
        summed = rows.values("purchase__instrument").annotate(sum=Sum("amount_minor")).values("sum")
        return self.annotate(paid_minor=Coalesce(Subquery(summed, output_field=models.BigIntegerField()), 0))

    def still_to_pay(self):
        """Those that hold and whose seller is owed something."""
        holds = self.filter(corrected_by__isnull=True).exclude(route__in=PAID_ELSEWHERE)
        return holds.with_paid().filter(price_minor__gt=F("paid_minor"))


class Purchase(Logged):
    """How an instrument came to the shop. A correction is a new row; the newest holds.

    `price_minor` is all that the seller was paid or allowed, `extras_minor` of it for carriage, packing,
    commission or insurance that the same seller charged: both are the purchase price of the tax book.
    What others charged is a cost line. What is on sale or return has no purchase before it is sold.
    """

    LOG_KIND = LogKind.OWNERSHIP
    LOG_AMOUNT = "price_minor"

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="purchases")
    seller = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="sold_to_us"
    )
    route = models.CharField(max_length=13, choices=PurchaseRoute, default=PurchaseRoute.PRIVATE)
    price_minor = models.PositiveBigIntegerField("price paid", null=True, blank=True)
    bought_on = models.DateField(null=True, blank=True)
    seller_kind = models.CharField("who sold it", max_length=7, choices=SellerKind, blank=True)
    own_number = models.CharField("our purchase invoice", max_length=20, blank=True)
    seller_invoice = models.CharField("the seller’s invoice number", max_length=40, blank=True)
    vat_shown = models.BooleanField("the seller’s invoice shows VAT", default=False)
    vat_minor = models.PositiveBigIntegerField("VAT shown on it", null=True, blank=True)
    scheme_label = models.CharField(
        "margin scheme label on it", max_length=11, choices=InvoiceLabel, blank=True
    )
    extras_minor = models.PositiveBigIntegerField("of it for carriage, packing, commission", default=0)
    scan = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="purchases"
    )
    allowed_against = models.ForeignKey(
        Promise, null=True, blank=True, on_delete=models.PROTECT, related_name="part_exchanges"
    )
    right_to_sell = models.CharField("in what right they sell", max_length=6, choices=SellsAs, blank=True)
    protected_told = models.CharField(
        "what they say of protected material", max_length=9, choices=ProtectedTold, blank=True
    )
    note = models.CharField(max_length=300, blank=True)
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = PurchaseQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(
                fields=["allowed_against"],
                condition=Q(allowed_against__isnull=False),
                name="purchase_in_part_exchange",
            )
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["instrument"],
                condition=Q(corrects__isnull=True),
                name="one_first_purchase_per_instrument",
            ),
            models.UniqueConstraint(
                fields=["own_number"],
                condition=~Q(own_number="") & Q(corrects__isnull=True),
                name="own_purchase_invoice_once",
            ),
            models.CheckConstraint(
                condition=Q(vat_shown=True) | Q(vat_minor__isnull=True), name="vat_only_where_it_is_shown"
            ),
            models.CheckConstraint(
                condition=Q(vat_shown=False) | Q(scheme_label=""), name="no_scheme_label_beside_vat"
            ),
            models.CheckConstraint(
                condition=Q(extras_minor=0) | Q(extras_minor__lte=models.F("price_minor")),
                name="extras_within_the_price",
            ),
            models.CheckConstraint(
                condition=Q(allowed_against__isnull=True) | Q(route=PurchaseRoute.PART_EXCHANGE),
                name="only_part_exchange_is_allowed_against",
            ),
        ]

    def __str__(self) -> str:
        return f"purchase of {self.instrument}"

    @property
    def is_from_trade(self) -> bool:
        """Rows from before sellers were told apart say so by their route."""
        return (self.seller_kind or self.route) == SellerKind.TRADE

    @property
    def invoice_number(self) -> str:
        """The paper that the tax book names: the seller's own, or the one that we wrote."""
        return self.seller_invoice or self.own_number


class SellerPayment(Logged):
    """Money paid to the seller of an instrument; what came back, or was put right, is a negative row."""

    purchase = models.ForeignKey(Purchase, on_delete=models.PROTECT, related_name="payments")
    amount_minor = models.BigIntegerField()
    method = models.CharField(max_length=8, choices=MONEY_METHODS, blank=True)
    reference = models.CharField(max_length=80, blank=True)
    paid_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name = "payment to a seller"
        verbose_name_plural = "payments to sellers"
        constraints = [
            models.CheckConstraint(condition=~Q(amount_minor=0), name="seller_payment_is_not_nothing")
        ]

    def __str__(self) -> str:
        return f"payment of {self.paid_on} for {self.purchase.instrument}"

    @property
    def taken_off_minor(self) -> int:
        return -self.amount_minor


class CostLine(Logged):
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


class AskingPrice(Logged):
    """The newest row is the price asked today."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="asking_prices")
    amount_minor = models.PositiveBigIntegerField()
    reason = models.CharField("why", max_length=200, blank=True)
    floor_minor = models.PositiveBigIntegerField("the floor on that day", null=True, blank=True)
    set_on = models.DateField()
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(condition=Q(amount_minor__gt=0), name="asking_price_above_nothing")
        ]
        indexes = [
            models.Index(fields=["instrument", "-id"], name="asking_price_newest"),
            models.Index(fields=["amount_minor", "instrument"], name="asking_price_by_amount"),
        ]

    @property
    def logged_by_id(self) -> int:
        return self.set_by_id

    def __str__(self) -> str:
        return f"asking price since {self.set_on}"
