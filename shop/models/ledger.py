"""Money across the counter, and value moved between promises. Every balance is a sum of these rows.

A part exchange is value, not coin: a payment by that method, written in the same act as the purchase that it
paid for, of the same amount. So it counts like any other here, and its purchase points at the promise.

A fee that the terms let count is value too: so much less was paid for the fee, so much more toward the price.

value held in a promise = its payments toward the price - the credit entries that name it
credit of a person      = that person's credit entries
so, always: all payments toward prices = value held in promises + credit of persons
and what an ended promise still holds = its deductions (shop/models/deduction.py) + credit of it that ran out
"""

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.commission import Commission
from shop.models.log import Logged
from shop.models.person import Person
from shop.models.promise import Promise
from shop.states import CreditKind, PaymentMethod, PaymentPurpose


class PaymentQuerySet(models.QuerySet):
    def toward_price(self):
        return self.filter(purpose=PaymentPurpose.PRICE)


class Payment(Logged):
    """Money in; a refund is a negative row that points at the promise or the commission it came from.

    What is paid for a service, such as delivery or work agreed, buys no part of the instrument and never
    becomes credit. For work it stands with its commission, which outlives a hold that becomes a sale.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="payments")
    promise = models.ForeignKey(
        Promise, null=True, blank=True, on_delete=models.PROTECT, related_name="payments"
    )
    commission = models.ForeignKey(
        Commission, null=True, blank=True, on_delete=models.PROTECT, related_name="payments"
    )
    amount_minor = models.BigIntegerField()
    purpose = models.CharField(max_length=8, choices=PaymentPurpose, default=PaymentPurpose.PRICE)
    method = models.CharField(max_length=8, choices=PaymentMethod)
    reference = models.CharField(max_length=80, blank=True)
    refunds = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="refunded_by"
    )
    paid_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = PaymentQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=~Q(amount_minor=0), name="payment_is_not_nothing"),
            models.CheckConstraint(
                condition=Q(purpose=PaymentPurpose.WORK, commission__isnull=False, promise__isnull=True)
                | (~Q(purpose=PaymentPurpose.WORK) & Q(commission__isnull=True, promise__isnull=False)),
                name="payment_is_for_a_promise_or_for_work",
            ),
        ]
        indexes = [models.Index(fields=["paid_on", "id"], name="payment_by_day")]

    def __str__(self) -> str:
        return f"{self.amount_minor} by {self.person} on {self.paid_on}"


class CreditEntry(Logged):
    """Value that left a promise into a person's credit (+), or went from credit into a promise (-).

    Credit paid out (-) goes with a payment given back (-) out of the same promise, whose value stays.
    Credit that ran out (-) goes back into the promise it came from, where it stands as kept.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="credit_entries")
    promise = models.ForeignKey(Promise, on_delete=models.PROTECT, related_name="credit_entries")
    kind = models.CharField(max_length=12, choices=CreditKind)
    amount_minor = models.BigIntegerField()
    note = models.CharField(max_length=200, blank=True)
    entered_on = models.DateField()
    runs_out_on = models.DateField("its last day", null=True, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "credit entries"
        constraints = [
            models.CheckConstraint(
                condition=Q(kind=CreditKind.FROM_PROMISE, amount_minor__gt=0)
                | Q(
                    kind__in=[CreditKind.TO_PROMISE, CreditKind.PAID_OUT, CreditKind.EXPIRED],
                    amount_minor__lt=0,
                ),
                name="credit_entry_sign_fits_its_kind",
            ),
            models.CheckConstraint(
                condition=Q(runs_out_on__isnull=True)
                | Q(kind=CreditKind.FROM_PROMISE, runs_out_on__gte=models.F("entered_on")),
                name="only_credit_that_arose_runs_out",
            ),
        ]
        indexes = [
            models.Index(
                fields=["runs_out_on"], condition=Q(runs_out_on__isnull=False), name="credit_that_runs_out"
            )
        ]

    def __str__(self) -> str:
        return f"{self.amount_minor} for {self.person} on {self.entered_on}"
