from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models import AppendOnly
from shop.calc.hold_terms import DepositTerms
from shop.models.ledger import Payment
from shop.models.promise import Promise
from shop.states import GiveBack, LetGoBy


class HoldTerms(AppendOnly):
    """The terms of a hold as they were agreed when it was placed, whatever the shop's terms became since."""

    number = models.CharField(max_length=20, unique=True)
    promise = models.OneToOneField(Promise, on_delete=models.PROTECT, related_name="hold_terms")
    deposit_minor = models.PositiveBigIntegerField("deposit")
    asking_minor = models.PositiveBigIntegerField("price asked that day", null=True, blank=True)
    until = models.DateField("held until")
    full_until = models.DateField("given back in full until")
    keep_percent = models.PositiveSmallIntegerField("share that may be kept for a loss")
    keep_most_minor = models.PositiveBigIntegerField("and never more than", null=True, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "terms of holds"
        constraints = [
            models.CheckConstraint(
                condition=Q(keep_percent__lte=100), name="no_more_than_the_deposit_may_be_kept"
            ),
        ]

    def __str__(self) -> str:
        return f"hold {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("shop:hold_page", args=[self.promise_id])

    @property
    def of_deposit(self) -> DepositTerms:
        return DepositTerms(self.full_until, self.keep_percent, self.keep_most_minor)


class HoldEnding(AppendOnly):
    """How a hold ended that became no sale: who let it go, and what became of its deposit."""

    promise = models.OneToOneField(Promise, on_delete=models.PROTECT, related_name="hold_ending")
    let_go_by = models.CharField("who let it go", max_length=8, choices=LetGoBy)
    give_back = models.CharField("what became of the deposit", max_length=8, choices=GiveBack)
    paid_minor = models.PositiveBigIntegerField("what had been paid on it")
    kept_minor = models.PositiveBigIntegerField("kept for a loss", default=0)
    kept_reason = models.CharField("the loss", max_length=300, blank=True)
    told_how = models.CharField("how the customer was told", max_length=200, blank=True)
    ended_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kept_minor__lte=models.F("paid_minor")), name="no_more_kept_than_was_paid_on_it"
            ),
            models.CheckConstraint(
                condition=Q(kept_minor=0) | (~Q(kept_reason="") & ~Q(told_how="")),
                name="what_is_kept_has_its_reason_and_was_told",
            ),
        ]

    def __str__(self) -> str:
        return f"hold ended: {self.how}"

    @property
    def how(self) -> str:
        """Who let it go, as the end of a sentence."""
        if self.let_go_by == LetGoBy.NOBODY:
            return f"its last day, {self.promise.until:%-d %B %Y}, had passed"
        return "the customer let it go" if self.let_go_by == LetGoBy.CUSTOMER else "we let it go"

    @property
    def given_back_minor(self) -> int:
        """As money or into their credit."""
        return self.paid_minor - self.kept_minor


class GivenBackLater(AppendOnly):
    """Why money was given back out of a hold, a trial or a sale that had ended before."""

    payment = models.OneToOneField(Payment, on_delete=models.PROTECT, related_name="given_back_later")
    reason = models.CharField("why", max_length=300)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name = "refund after the end"
        verbose_name_plural = "refunds after the end"
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="refund_after_the_end_has_its_reason")
        ]

    def __str__(self) -> str:
        return f"given back after the end: {self.reason}"
