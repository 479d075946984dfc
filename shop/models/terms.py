"""The words of an agreement: clauses the shop may change, and versions of them that were put in force."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models import AppendOnly
from instruments.models.saving import KeptHistory
from shop.states import ClauseWhen


class AgreementClauseQuerySet(models.QuerySet):
    def in_use(self):
        return self.filter(in_use=True)


class AgreementClause(models.Model):
    """One clause as the shop would have it now; an agreement takes it once it has been put in force."""

    code = models.SlugField(max_length=60, unique=True)
    position = models.PositiveSmallIntegerField("its place in the agreement")
    when = models.CharField("belongs in an agreement", max_length=24, choices=ClauseWhen)
    heading = models.CharField(max_length=80)
    text = models.TextField("the words", max_length=1500)
    in_use = models.BooleanField("part of our terms", default=True)
    is_as_shipped = models.BooleanField(default=False, editable=False)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = AgreementClauseQuerySet.as_manager()

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.CheckConstraint(condition=~Q(heading="") & ~Q(text=""), name="clause_says_something")
        ]

    def __str__(self) -> str:
        return self.heading

    def get_absolute_url(self) -> str:
        return reverse("shop:clause_edit", args=[self.code])

    @property
    def words(self) -> dict:
        return {"when": self.when, "heading": self.heading, "text": self.text}


class TermsVersion(AppendOnly):
    """The whole of the terms as put in force on a day. An agreement keeps the one it was made with."""

    label = models.CharField(max_length=20, unique=True)
    words = models.JSONField()
    sha256 = models.CharField(max_length=64)
    keeping_is_buying = models.BooleanField("who keeps it past the last day has bought it", default=False)
    in_force_from = models.DateField()
    note = models.CharField("what changed", max_length=300, blank=True)
    put_in_force_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"terms {self.label}"

    def get_absolute_url(self) -> str:
        return reverse("shop:terms_version", args=[self.label])
