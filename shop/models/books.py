"""The books as tax law wants them kept: numbered lines that are only added to, in periods that close."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, Instrument
from shop.models.ledger import Payment
from shop.models.log import Logged
from shop.models.purchase import Purchase
from shop.models.sale import Sale
from shop.states import AgeLabel, LineKind, TaxKind, TaxScheme


class TaxRate(AppendOnly):
    """A rate the shop wrote down itself, from a day on; the shipped table is in fixtures/."""

    country = models.CharField(max_length=2, blank=True)
    kind = models.CharField(max_length=9, choices=TaxKind)
    percent = models.DecimalField("rate", max_digits=6, decimal_places=3)
    starts_on = models.DateField("first day")
    source = models.CharField("where it is written", max_length=200)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["starts_on", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(percent__gte=0, percent__lt=100), name="tax_rate_is_a_share")
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.percent.normalize():f} % from {self.starts_on:%-d %B %Y}"


class AgeChoice(AppendOnly):
    """Whether it counts as an antique, decided where its dates leave both open. The newest holds."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="age_choices")
    label = models.CharField("it counts as", max_length=11, choices=AgeLabel)
    why = models.CharField("why", max_length=300)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.get_label_display()


class BookPeriod(AppendOnly):
    """A stretch of days that is closed. Everything up to its last day stays as it was on the closing."""

    starts_on = models.DateField("first day", unique=True)
    ends_on = models.DateField("last day", unique=True)
    last_line = models.PositiveIntegerField("last line of the books on closing", default=0)
    figures = models.JSONField("sums on closing", default=dict)
    closed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    closed_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-ends_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_on__gte=models.F("starts_on")), name="period_ends_after_it_began"
            )
        ]

    def __str__(self) -> str:
        return f"{self.starts_on:%-d %B %Y} to {self.ends_on:%-d %B %Y}"


class BookLineQuerySet(models.QuerySet):
    def between(self, starts_on, ends_on):
        return self.filter(entered_on__gte=starts_on, entered_on__lte=ends_on)

    def standing(self):
        """Neither taken back nor taking back."""
        return self.filter(corrects__isnull=True, corrected_by__isnull=True)


class BookLine(Logged):
    """One numbered line: something bought, sold or charged. One with its signs turned takes another back.

    `happened_on` is the day of the deal and the tax point; `entered_on` the day it counts on, which is later
    where the period of that day was closed already.
    """

    LOG_AMOUNT = "gross_minor"

    number = models.PositiveIntegerField(unique=True)
    kind = models.CharField(max_length=6, choices=LineKind)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="book_lines")
    happened_on = models.DateField(null=True, blank=True)
    entered_on = models.DateField()
    purchase = models.ForeignKey(
        Purchase, null=True, blank=True, on_delete=models.PROTECT, related_name="book_lines"
    )
    sale = models.ForeignKey(Sale, null=True, blank=True, on_delete=models.PROTECT, related_name="book_lines")
    payment = models.ForeignKey(
        Payment, null=True, blank=True, on_delete=models.PROTECT, related_name="book_lines"
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    party = models.CharField("seller or buyer", max_length=120, blank=True)
    party_address = models.CharField(max_length=400, blank=True)
    document = models.CharField("invoice", max_length=60, blank=True)
    description = models.CharField(max_length=300)
    treatment = models.CharField("taxed as", max_length=10, choices=TaxScheme, blank=True)
    rate_percent = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)
    cost_minor = models.BigIntegerField("purchase price", null=True, blank=True)
    gross_minor = models.BigIntegerField("charged, tax included", default=0)
    tax_minor = models.BigIntegerField("tax due", default=0)
    input_tax_minor = models.BigIntegerField("tax on the purchase invoice", default=0)
    why = models.CharField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = BookLineQuerySet.as_manager()

    class Meta:
        ordering = ["number"]
        constraints = [
            models.CheckConstraint(
                condition=Q(corrects__isnull=True, tax_minor__gte=0, gross_minor__gte=0)
                | Q(corrects__isnull=False, tax_minor__lte=0, gross_minor__lte=0),
                name="book_line_signs_fit",
            ),
            models.CheckConstraint(
                condition=~Q(kind=LineKind.BOUGHT) | Q(tax_minor=0, gross_minor=0),
                name="nothing_is_charged_for_what_is_bought",
            ),
        ]
        indexes = [models.Index(fields=["entered_on", "number"], name="book_line_by_day")]

    def __str__(self) -> str:
        return f"line {self.number}: {self.get_kind_display().lower()}, {self.description}"

    @property
    def net_minor(self) -> int:
        return self.gross_minor - self.tax_minor

    @property
    def margin_minor(self) -> int | None:
        """Selling price less purchase price, for what was sold under a margin scheme."""
        if self.kind != LineKind.SOLD or self.cost_minor is None:
            return None
        return self.gross_minor - self.cost_minor

    @property
    def paid_minor(self) -> int | None:
        return self.cost_minor if self.kind == LineKind.BOUGHT else None

    @property
    def sold_cost_minor(self) -> int | None:
        """The purchase price set against a sale."""
        return self.cost_minor if self.kind == LineKind.SOLD else None
