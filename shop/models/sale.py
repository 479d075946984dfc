from django.conf import settings
from django.db import models
from django.urls import reverse

from instruments.models import Instrument
from shop.log_states import LogKind
from shop.models.log import Logged
from shop.models.person import Person
from shop.models.promise import Promise
from shop.models.trial import Trial
from shop.states import PaperKind, SaleEndingKind


class Sale(Logged):
    """An instrument sold at an agreed price. What has been paid toward it is summed from the ledger."""

    LOG_KIND = LogKind.OWNERSHIP
    LOG_AMOUNT = "price_minor"

    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="sales")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="purchases_from_us")
    promise = models.OneToOneField(Promise, on_delete=models.PROTECT, related_name="sale")
    price_minor = models.PositiveBigIntegerField()
    sold_on = models.DateField()
    from_trial = models.OneToOneField(
        Trial, null=True, blank=True, on_delete=models.PROTECT, related_name="sale"
    )
    note = models.CharField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["-sold_on", "-id"], name="sale_newest")]

    def __str__(self) -> str:
        return f"{self.number}: {self.instrument} to {self.person}"

    def get_absolute_url(self) -> str:
        return reverse("shop:sale_page", args=[self.number])


class SaleEnding(Logged):
    """A sale that did not stand: cancelled or taken back, with its credit note. A sale ends once.

    Where no invoice was printed there is none to credit: its number is that of the sale with an E.
    """

    LOG_KIND = LogKind.OWNERSHIP
    LOG_AMOUNT = "given_back_minor"

    sale = models.OneToOneField(Sale, on_delete=models.PROTECT, related_name="ending")
    kind = models.CharField(max_length=10, choices=SaleEndingKind)
    credit_note = models.CharField("number of the credit note", max_length=20, unique=True)
    reason = models.CharField("why", max_length=300)
    paid_minor = models.PositiveBigIntegerField("what had been paid toward it")
    given_back_minor = models.PositiveBigIntegerField("given back as money")
    deduction_minor = models.PositiveBigIntegerField("kept of what was paid", default=0)
    deduction_for = models.CharField("what that is kept for", max_length=300, blank=True)
    other_means_agreed = models.BooleanField("another way of paying back was agreed", default=False)
    told_on = models.DateField("told on", null=True, blank=True)
    refund_by = models.DateField("to be given back by", null=True, blank=True)
    ended_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(given_back_minor__lte=models.F("paid_minor")),
                name="no_more_given_back_than_was_paid",
            ),
            models.CheckConstraint(
                condition=models.Q(deduction_minor=0)
                | (
                    ~models.Q(deduction_for="")
                    & models.Q(paid_minor__gte=models.F("deduction_minor") + models.F("given_back_minor"))
                ),
                name="deduction_from_what_was_paid_for_a_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.credit_note}: {self.get_kind_display().lower()}"

    @property
    def credits_an_invoice(self) -> bool:
        """A credit note puts right an invoice that was printed; without one the refund note serves."""
        return self.sale.papers.filter(kind=PaperKind.INVOICE).exists()
