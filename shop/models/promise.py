"""The shop's word: at most one open promise for each instrument, and the database says so too."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import Instrument
from instruments.models.saving import KeptHistory, SavedInWords
from shop.models.person import Person
from shop.states import PromiseKind, PromiseOutcome


class PromiseQuerySet(models.QuerySet):
    def open(self):
        return self.filter(closed_at__isnull=True)

    def overdue(self, *, on):
        return self.open().filter(until__lt=on)

    def unsettled(self):
        """Open, and not noted as settled: of sales those with something to pay or to bring, and few more."""
        return self.open().filter(is_settled=False)


class Promise(SavedInWords):
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="promises")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="promises")
    kind = models.CharField(max_length=5, choices=PromiseKind)
    price_minor = models.PositiveBigIntegerField("agreed price", null=True, blank=True)
    opened_on = models.DateField()
    opened_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    until = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    outcome = models.CharField(max_length=10, choices=PromiseOutcome, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    # A note for finding what is left to do: a sale that is paid to the penny and handed over. No balance: the
    # rows say both, `shop.actions.settled` writes it after each of them, and `verify` holds it against them.
    is_settled = models.BooleanField(default=False, db_default=False, editable=False)

    history = KeptHistory(
        excluded_fields=["is_settled"], history_change_reason_field=models.TextField(null=True)
    )
    objects = PromiseQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["instrument"],
                condition=Q(closed_at__isnull=True),
                name="one_open_promise_per_instrument",
            ),
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True, closed_by__isnull=True, outcome="")
                | (Q(closed_at__isnull=False, closed_by__isnull=False) & ~Q(outcome="")),
                name="promise_closed_by_somebody_with_an_outcome",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=[PromiseKind.HOLD, PromiseKind.TRIAL]) | Q(until__isnull=False),
                name="hold_and_trial_have_an_end",
            ),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=models.F("opened_on")),
                name="promise_ends_after_it_began",
            ),
            models.CheckConstraint(
                condition=Q(kind=PromiseKind.HOLD) | Q(price_minor__isnull=False),
                name="trial_and_sale_have_a_price",
            ),
        ]
        indexes = [
            models.Index(fields=["person", "-id"], name="promise_by_person"),
            models.Index(
                fields=["kind", "until"], condition=Q(closed_at__isnull=True), name="open_promise_by_end"
            ),
            models.Index(
                fields=["kind", "id"],
                condition=Q(closed_at__isnull=True, is_settled=False),
                name="promise_not_settled",
            ),
            models.Index(
                fields=["instrument"],
                condition=Q(closed_at__isnull=True, kind=PromiseKind.SALE),
                name="promise_sold",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.instrument} for {self.person}"

    @property
    def is_open(self) -> bool:
        return self.closed_at is None

    @property
    def ends_in_words(self) -> str:
        return f" until {self.until:%-d %B %Y}" if self.until else ""
