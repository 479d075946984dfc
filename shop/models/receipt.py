from django.db import models
from django.urls import reverse

from instruments.models import AppendOnly
from shop.models.ledger import CreditEntry, Payment


class Receipt(AppendOnly):
    """The receipt of one payment: its number, and from where in the ledger it tells what stood before.

    What it says is summed from the rows up to its payment, so that it can be read again at any later day.
    """

    number = models.CharField(max_length=20, unique=True)
    payment = models.OneToOneField(Payment, on_delete=models.PROTECT, related_name="receipt")
    agreed_minor = models.PositiveBigIntegerField(
        "what was to be paid in all, as agreed by then", null=True, blank=True
    )
    counted_until = models.ForeignKey(
        CreditEntry,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name="the last credit entry before it",
    )
    pays_out = models.OneToOneField(
        CreditEntry, null=True, blank=True, on_delete=models.PROTECT, related_name="receipt"
    )

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.title.lower()} {self.number}"

    @property
    def title(self) -> str:
        return "Refund note" if self.payment.amount_minor < 0 else "Receipt"

    def get_absolute_url(self) -> str:
        return reverse("shop:receipt_print", args=[self.number])
