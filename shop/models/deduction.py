"""What the shop keeps of money paid on a promise, line by line, each with its words.

A line is agreed while the trial runs and is kept when it ends. What an ended promise still holds is the sum
of its lines and of the credit of it that ran out.
"""

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.deduction_states import AGREED_KINDS, DeductionAgreed, DeductionKind
from shop.models.log import Logged
from shop.models.promise import Promise


class DeductionQuerySet(models.QuerySet):
    def standing(self):
        """Without what was taken back, and without what takes it back."""
        return self.filter(takes_back__isnull=True, taken_back_by__isnull=True)


class Deduction(Logged):
    promise = models.ForeignKey(Promise, on_delete=models.PROTECT, related_name="deductions")
    kind = models.CharField(max_length=12, choices=DeductionKind)
    words = models.CharField("what for", max_length=300)
    amount_minor = models.BigIntegerField()
    agreed_how = models.CharField("how they agreed", max_length=8, choices=DeductionAgreed, blank=True)
    agreed_on = models.DateField(null=True, blank=True)
    takes_back = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="taken_back_by"
    )
    entered_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = DeductionQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(takes_back__isnull=False, amount_minor__lt=0)
                | Q(takes_back__isnull=True, kind=DeductionKind.GIVEN_BACK, amount_minor__lt=0)
                | (Q(takes_back__isnull=True, amount_minor__gt=0) & ~Q(kind=DeductionKind.GIVEN_BACK)),
                name="deduction_sign_fits_its_kind",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=AGREED_KINDS) | (~Q(agreed_how="") & Q(agreed_on__isnull=False)),
                name="deduction_was_agreed",
            ),
            models.CheckConstraint(condition=~Q(words=""), name="deduction_says_what_for"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.words}"

    @property
    def agreed_words(self) -> str:
        """How and when the customer agreed; nothing where nobody was to agree."""
        if not self.agreed_on:
            return ""
        return f"agreed {self.agreed_on:%-d %B %Y}, {self.get_agreed_how_display().lower()}"
