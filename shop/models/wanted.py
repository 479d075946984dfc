from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from instruments.states import Kind
from shop.models.person import Person


class WantedQuerySet(models.QuerySet):
    def open(self):
        return self.filter(closed_on__isnull=True)


class Wanted(models.Model):
    """What is looked for: by a customer, or by the shop where nobody is named."""

    person = models.ForeignKey(
        Person,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="wanted",
        verbose_name="for whom",
    )
    maker = models.CharField(max_length=120, blank=True)
    kind = models.CharField(max_length=8, choices=Kind, blank=True)
    least_cm = models.PositiveSmallIntegerField(
        "at least so high or long",
        null=True,
        blank=True,
        validators=[MinValueValidator(20), MaxValueValidator(400)],
    )
    most_cm = models.PositiveSmallIntegerField(
        "at most", null=True, blank=True, validators=[MinValueValidator(20), MaxValueValidator(400)]
    )
    least_keys = models.PositiveSmallIntegerField(
        "at least so many keys",
        null=True,
        blank=True,
        validators=[MinValueValidator(20), MaxValueValidator(120)],
    )
    most_minor = models.PositiveBigIntegerField("at most to pay", null=True, blank=True)
    note = models.CharField("what else matters", max_length=300, blank=True)
    asked_on = models.DateField()
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    closed_on = models.DateField(null=True, blank=True)
    closed_why = models.CharField(max_length=200, blank=True)

    history = HistoricalRecords(history_change_reason_field=models.TextField(null=True))
    objects = WantedQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name_plural = "wanted"
        constraints = [
            models.CheckConstraint(
                condition=~Q(
                    maker="", kind="", least_cm__isnull=True, most_cm__isnull=True, least_keys__isnull=True
                ),
                name="wanted_says_what",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.words}, for {self.person or 'the shop'}"

    @property
    def words(self) -> str:
        measure = ""
        if self.least_cm and self.most_cm:
            measure = f"{self.least_cm} to {self.most_cm} cm"
        elif self.least_cm or self.most_cm:
            measure = f"at least {self.least_cm} cm" if self.least_cm else f"at most {self.most_cm} cm"
        keys = f"{self.least_keys} keys or more" if self.least_keys else ""
        kind = self.get_kind_display().lower() if self.kind else ""
        words = ", ".join(filter(None, [" ".join(filter(None, [self.maker, kind])), measure, keys]))
        return words[:1].upper() + words[1:]
