from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from instruments.models import Instrument
from instruments.models.saving import KeptHistory, SavedInWords
from shop.models.credit_terms import CreditTerms
from shop.models.person import Person
from shop.models.promise import Promise
from shop.models.terms import TermsVersion
from shop.states import ContractPlace, PromiseOutcome, TrialState


class TrialQuerySet(models.QuerySet):
    def out(self):
        return self.filter(state=TrialState.OUT)

    def overdue(self, *, on):
        return self.out().filter(ends_on__lt=on)


class Trial(SavedInWords):
    """An instrument taken home for a fixed time, with what was paid for it counting on."""

    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="trials")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="trials")
    price_minor = models.PositiveBigIntegerField("price")
    pay_now_minor = models.PositiveBigIntegerField("paid at the start")
    delivery_minor = models.PositiveBigIntegerField("delivery charge", default=0)
    credit_terms = models.ForeignKey(
        CreditTerms, on_delete=models.PROTECT, related_name="trials", verbose_name="terms of credit"
    )
    starts_on = models.DateField()
    ends_on = models.DateField("to be returned or kept by")
    address = models.TextField("where it will stand", max_length=400)
    delivery_note = models.CharField("delivery", max_length=300, blank=True)
    special_terms = models.TextField(max_length=2000, blank=True)
    agreed_where = models.CharField(
        "where it is agreed", max_length=12, choices=ContractPlace, default=ContractPlace.SHOP
    )
    terms = models.ForeignKey(
        TermsVersion, null=True, blank=True, on_delete=models.PROTECT, related_name="trials"
    )
    state = models.CharField(max_length=5, choices=TrialState, default=TrialState.DRAFT)
    outcome = models.CharField(max_length=10, choices=PromiseOutcome, blank=True)
    ended_on = models.DateField(null=True, blank=True)
    ended_note = models.CharField(max_length=300, blank=True)
    promise = models.OneToOneField(
        Promise, null=True, blank=True, on_delete=models.PROTECT, related_name="trial"
    )
    exchanged_from = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="exchanged_into"
    )
    exception_note = models.CharField("the owner’s exception to the terms", max_length=300, blank=True)
    uncompared_note = models.CharField("why it was settled without comparing", max_length=300, blank=True)
    drafted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    drafted_at = models.DateTimeField(auto_now_add=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = TrialQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_on__gt=F("starts_on")), name="trial_ends_after_it_starts"
            ),
            models.CheckConstraint(
                condition=Q(pay_now_minor__lte=F("price_minor")), name="trial_takes_no_more_than_the_price"
            ),
            models.CheckConstraint(
                condition=Q(state=TrialState.DRAFT, promise__isnull=True)
                | (~Q(state=TrialState.DRAFT) & Q(promise__isnull=False)),
                name="trial_that_started_holds_a_promise",
            ),
            models.CheckConstraint(
                condition=Q(state=TrialState.ENDED, ended_on__isnull=False) & ~Q(outcome="")
                | (~Q(state=TrialState.ENDED) & Q(outcome="", ended_on__isnull=True)),
                name="trial_ended_on_a_day_with_an_outcome",
            ),
        ]
        indexes = [models.Index(fields=["state", "ends_on"], name="trial_by_state_and_end")]

    def __str__(self) -> str:
        return f"{self.number}: {self.instrument} with {self.person}"

    def get_absolute_url(self) -> str:
        return reverse("shop:trial_page", args=[self.number])
