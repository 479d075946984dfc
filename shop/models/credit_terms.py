"""The terms of credit as of a day. A trial keeps the row it was agreed on, and no row ever changes."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models import AppendOnly
from shop.calc.credit_terms import LONGEST_MONTHS, CreditRule


class CreditTermsQuerySet(models.QuerySet):
    def of_the_shop(self):
        """Versions put in force for every new trial; without a label a row was agreed for one trial alone."""
        return self.exclude(label="")


class CreditTerms(AppendOnly):
    label = models.CharField(max_length=20, blank=True)
    scale = models.JSONField("share that counts, from which month on")
    delivery_counts = models.BooleanField("what is paid for delivery counts", default=False)
    tuning_counts = models.BooleanField("what is paid for tuning counts", default=False)
    hire_counts = models.BooleanField("what is paid for hire counts", default=False)
    only_dearer = models.BooleanField("only toward a dearer instrument", default=False)
    expires_after_months = models.PositiveSmallIntegerField(
        "what is left in credit runs out after, in months", null=True, blank=True
    )
    in_force_from = models.DateField()
    note = models.CharField("what changed", max_length=300, blank=True)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = CreditTermsQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name_plural = "terms of credit"
        constraints = [
            models.UniqueConstraint(
                fields=["label"], condition=~Q(label=""), name="one_label_of_credit_terms"
            ),
            models.CheckConstraint(
                condition=Q(expires_after_months__isnull=True)
                | Q(expires_after_months__gte=1, expires_after_months__lte=LONGEST_MONTHS),
                name="credit_runs_out_after_months_or_never",
            ),
        ]

    def __str__(self) -> str:
        return f"terms of credit {self.label}" if self.label else "terms of credit of one trial"

    def get_absolute_url(self) -> str:
        return reverse("shop:credit_terms_page")

    @property
    def rule(self) -> CreditRule:
        counting = (
            ("delivery", self.delivery_counts),
            ("tuning", self.tuning_counts),
            ("hire", self.hire_counts),
        )
        return CreditRule(
            scale=tuple((month, percent) for month, percent in self.scale),
            fees_that_count=tuple(fee for fee, counts in counting if counts),
            only_dearer=self.only_dearer,
            expires_after_months=self.expires_after_months,
        )
