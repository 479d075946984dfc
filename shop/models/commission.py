"""A customer's own wishes: quoted, approved in writing, changed only by a new version approved anew."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Case, Exists, F, OuterRef, Q, Subquery, Sum, When
from django.db.models.functions import Coalesce
from django.urls import reverse

from instruments.models import AppendOnly, Document
from instruments.models.saving import KeptHistory
from shop.models.paper import Paper
from shop.models.person import Person
from shop.models.promise import Promise
from shop.models.taken_in import TakenIn
from shop.states import ApprovalWay
from workorders.models import Task, WorkItem, WorkOrder

MINOR = models.BigIntegerField()


def _sum_of(rows, field: str, of: str) -> Coalesce:
    """A correlated sum, 0 where there are no rows."""
    summed = rows.order_by().values(of).annotate(sum=Sum(field)).values("sum")
    return Coalesce(Subquery(summed, output_field=MINOR), 0)


class CommissionQuerySet(models.QuerySet):
    def standing(self):
        return self.filter(withdrawn_on__isnull=True)

    def with_present_quote(self):
        """Each with `present_quote_id`: its newest version that was not taken back."""
        present = Quote.objects.standing().filter(commission=OuterRef("pk")).order_by("-version")
        return self.annotate(present_quote_id=Subquery(present.values("pk")[:1]))

    def not_approved(self):
        """Standing, and the present version was never approved, or there is none yet."""
        approved = Approval.objects.filter(quote=OuterRef("present_quote_id"))
        return self._these(self.standing().with_present_quote().filter(~Exists(approved)))

    def with_money_open(self):
        """Not paid in full, or paid beyond what is agreed, as `shop.commissions.Standing` sums both."""
        approved = Quote.objects.standing().filter(commission=OuterRef("pk"), approval__isnull=False)
        in_force = Subquery(approved.order_by("-version").values("pk")[:1])
        wishes = _sum_of(Wish.objects.filter(quote=OuterRef("in_force_id")), "price_minor", "quote")
        extras = Extra.objects.filter(quote__commission=OuterRef("pk"))
        agreed = wishes + _sum_of(extras, "price_minor", "quote__commission")
        stands = Q(withdrawn_on__isnull=True, in_force_id__isnull=False)
        itself = Commission.objects.filter(pk=OuterRef("pk"))
        return self._these(
            self.annotate(in_force_id=in_force)
            .annotate(
                agreed_minor=Case(
                    When(stands, then=agreed), default=0, output_field=models.BigIntegerField()
                ),
                given_minor=_sum_of(itself, "payments__amount_minor", "pk"),
            )
            .exclude(agreed_minor=F("given_minor"))
        )

    def fallen_through(self):
        """Made for a hold, a trial or a sale that ended without another promise to the same person."""
        whose = Coalesce(OuterRef("promise__person__merged_into"), OuterRef("promise__person"))
        others = Promise.objects.open().filter(instrument=OuterRef("promise__instrument"))
        others = others.annotate(whose=Coalesce("person__merged_into", "person")).filter(whose=whose)
        fallen = self.standing().filter(~Exists(others), promise__closed_at__isnull=False)
        return fallen.filter(pk__in=Commission.objects.standing().order_by().values("pk"))

    def _these(self, found):
        """The same by their keys alone: what is joined to them later is looked up, and not gone through."""
        return self.filter(pk__in=found.order_by().values("pk"))


class Commission(models.Model):
    """What a customer wishes done, as one work order: for a piano promised to them, or their own taken in."""

    number = models.CharField(max_length=20, unique=True)
    order = models.OneToOneField(WorkOrder, on_delete=models.PROTECT, related_name="commission")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="commissions")
    promise = models.ForeignKey(
        Promise, null=True, blank=True, on_delete=models.PROTECT, related_name="commissions"
    )
    taken_in = models.ForeignKey(
        TakenIn, null=True, blank=True, on_delete=models.PROTECT, related_name="commissions"
    )
    opened_on = models.DateField()
    opened_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    withdrawn_on = models.DateField(null=True, blank=True)
    withdrawn_because = models.CharField(max_length=300, blank=True)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = CommissionQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(promise__isnull=False, taken_in__isnull=True)
                | Q(promise__isnull=True, taken_in__isnull=False),
                name="commission_is_for_a_promise_or_a_taking_in",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_on__isnull=True, withdrawn_by__isnull=True, withdrawn_because="")
                | (Q(withdrawn_on__isnull=False, withdrawn_by__isnull=False) & ~Q(withdrawn_because="")),
                name="commission_withdrawn_by_somebody_with_a_reason",
            ),
        ]
        indexes = [models.Index(fields=["person", "-id"], name="commission_by_person")]

    def __str__(self) -> str:
        return f"{self.number} {self.order.title}"

    def get_absolute_url(self) -> str:
        return reverse("shop:commission_page", args=[self.number])


class QuoteQuerySet(models.QuerySet):
    def standing(self):
        return self.filter(taken_back__isnull=True)


class Quote(AppendOnly):
    """One version of what was quoted, with the paper as the customer has it."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="quotes")
    version = models.PositiveSmallIntegerField()
    valid_until = models.DateField()
    deposit_minor = models.PositiveBigIntegerField("deposit", default=0)
    extras_cap_minor = models.PositiveBigIntegerField("extras without asking again, up to", default=0)
    note = models.CharField(max_length=600, blank=True)
    paper = models.OneToOneField(Paper, on_delete=models.PROTECT, related_name="quote")
    issued_on = models.DateField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = QuoteQuerySet.as_manager()

    class Meta:
        ordering = ["-version"]
        constraints = [
            models.UniqueConstraint(fields=["commission", "version"], name="one_quote_for_each_version"),
            models.CheckConstraint(
                condition=Q(valid_until__gte=models.F("issued_on")), name="quote_valid_until_a_later_day"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.commission.number}, version {self.version}"


def wished_grams(words: str):
    return models.DecimalField(
        words,
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(30)), MaxValueValidator(Decimal(90))],
    )


OWN_CURVE = ("touch_bass_g", "touch_middle_g", "touch_treble_g")


class Wish(AppendOnly):
    """One line of a quote: what is wished, its price with tax, and whether it can ever be undone."""

    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="wishes")
    position = models.PositiveSmallIntegerField()
    words = models.CharField("what is wished", max_length=200)
    price_minor = models.PositiveBigIntegerField("price, with tax")
    is_irreversible = models.BooleanField("cannot be undone", default=False)
    caution = models.CharField("what is lost by it", max_length=200, blank=True)
    task = models.ForeignKey(Task, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="wishes")
    touch_shift_g = models.DecimalField(
        "touch heavier (+) or lighter (−) by",
        max_digits=3,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(-15)), MaxValueValidator(Decimal(15))],
    )
    touch_bass_g = wished_grams("touch, lowest key")
    touch_middle_g = wished_grams("touch, middle")
    touch_treble_g = wished_grams("touch, highest key")

    class Meta:
        ordering = ["position"]
        verbose_name_plural = "wishes"
        constraints = [
            models.UniqueConstraint(fields=["quote", "position"], name="one_wish_in_each_place"),
            models.CheckConstraint(condition=~Q(words=""), name="wish_says_what_is_wished"),
            models.CheckConstraint(
                condition=Q(**{f"{name}__isnull": True for name in OWN_CURVE})
                | Q(**{f"{name}__isnull": False for name in OWN_CURVE}, touch_shift_g__isnull=True),
                name="wish_shifts_the_touch_or_gives_a_whole_curve",
            ),
        ]

    def __str__(self) -> str:
        return self.words

    @property
    def is_of_touch(self) -> bool:
        return self.touch_shift_g is not None or self.touch_bass_g is not None


class Approval(AppendOnly):
    """The customer's written yes to one version: who, how, when, and where it can be read again."""

    quote = models.OneToOneField(Quote, on_delete=models.PROTECT, related_name="approval")
    approved_by_name = models.CharField("who approved it", max_length=120)
    way = models.CharField("how", max_length=8, choices=ApprovalWay)
    approved_on = models.DateField("on what day")
    reference = models.CharField("where it can be found", max_length=120, blank=True)
    document = models.ForeignKey(Document, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    final_words = models.TextField("ticked as not to be undone", max_length=6000, blank=True)
    wording_sha256 = models.CharField("SHA-256 of the wording", max_length=64)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(reference="") | Q(document__isnull=False),
                name="approval_can_be_read_somewhere",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quote} approved by {self.approved_by_name} on {self.approved_on:%-d %B %Y}"


class QuoteTakenBack(AppendOnly):
    """A version that no longer stands; the one before it holds again."""

    quote = models.OneToOneField(Quote, on_delete=models.PROTECT, related_name="taken_back")
    reason = models.CharField(max_length=300)
    taken_back_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    taken_back_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "quotes taken back"

    def __str__(self) -> str:
        return f"{self.quote} taken back"


class Extra(AppendOnly):
    """A small extra inside the cap that the approved version allows without asking again."""

    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="extras")
    words = models.CharField("what it is", max_length=200)
    price_minor = models.PositiveBigIntegerField("price, with tax")
    added_on = models.DateField()
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.CheckConstraint(condition=Q(price_minor__gt=0), name="extra_costs_something")]

    def __str__(self) -> str:
        return self.words
