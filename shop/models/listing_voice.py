"""How the shop words its listings, where it differs from the house's own sentences and order."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from instruments.models.saving import KeptHistory
from shop.calc.voice import LONGEST_FORM


class ListingSentence(models.Model):
    """One sentence as the shop words it; while `is_own` is not set the house's own is said."""

    code = models.SlugField(max_length=40, unique=True)
    text = models.CharField("the sentence", max_length=LONGEST_FORM)
    is_own = models.BooleanField(default=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["code"]
        constraints = [models.CheckConstraint(condition=~Q(text=""), name="listing_sentence_says_something")]

    def __str__(self) -> str:
        return self.text


class ListingOrder(models.Model):
    """Which topics one version of a listing has, in which order, and how long it may be."""

    version = models.SlugField(max_length=12, unique=True)
    topics = models.JSONField(default=list)
    most_characters = models.PositiveSmallIntegerField(
        "at most so many characters",
        null=True,
        blank=True,
        validators=[MinValueValidator(80), MaxValueValidator(3000)],
    )
    is_own = models.BooleanField(default=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["version"]
        constraints = [
            models.CheckConstraint(
                condition=Q(most_characters__isnull=True) | Q(most_characters__range=(80, 3000)),
                name="listing_version_of_a_sensible_length",
            )
        ]

    def __str__(self) -> str:
        return f"Order of the {self.version} version"
