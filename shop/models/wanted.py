from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.models.saving import KeptHistory
from instruments.states import Kind
from shop.models.enquiry import Enquiry
from shop.models.person import Person
from shop.wish_states import TouchWish, WishPoint, usual_must


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
    touch = models.CharField(max_length=8, choices=TouchWish, blank=True)
    touch_within_g = models.DecimalField(
        "within so much of our usual",
        max_digits=3,
        decimal_places=1,
        default=Decimal(3),
        validators=[MinValueValidator(Decimal("0.5")), MaxValueValidator(Decimal(20))],
    )
    tone = models.CharField("how it should sound", max_length=120, blank=True)
    finish = models.CharField(max_length=80, blank=True)
    place = models.CharField("where it would stand", max_length=120, blank=True)
    until = models.DateField("the latest day", null=True, blank=True)
    must = models.JSONField("what may not be otherwise", default=usual_must)
    told_agreed_on = models.DateField("agreed to be told by e-mail on", null=True, blank=True)
    told_ended_on = models.DateField("wants no more of it since", null=True, blank=True)
    enquiry = models.ForeignKey(
        Enquiry, null=True, blank=True, on_delete=models.PROTECT, related_name="wishes"
    )
    most_minor = models.PositiveBigIntegerField("at most to pay", null=True, blank=True)
    note = models.CharField("what else matters", max_length=300, blank=True)
    asked_on = models.DateField()
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    closed_on = models.DateField(null=True, blank=True)
    closed_why = models.CharField(max_length=200, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = WantedQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name_plural = "wanted"
        constraints = [
            models.CheckConstraint(
                condition=~Q(
                    maker="",
                    kind="",
                    least_cm__isnull=True,
                    most_cm__isnull=True,
                    least_keys__isnull=True,
                    touch="",
                    tone="",
                    finish="",
                ),
                name="wanted_says_what",
            ),
        ]
        indexes = [models.Index(fields=["-id"], condition=Q(closed_on__isnull=True), name="wanted_open")]

    def __str__(self) -> str:
        return f"{self.words}, for {self.person or 'the shop'}"

    def get_absolute_url(self) -> str:
        return reverse("shop:wanted_page", args=[self.pk])

    @property
    def is_open(self) -> bool:
        return self.closed_on is None

    @property
    def is_told(self) -> bool:
        """Whether they agreed to be told by e-mail, and have not taken it back."""
        return self.told_agreed_on is not None and self.told_ended_on is None

    @property
    def is_vague(self) -> bool:
        """It names a kind and nothing else that a piano has to be."""
        return not any(
            (self.maker, self.least_cm, self.most_cm, self.least_keys, self.touch, self.tone, self.finish)
        )

    @property
    def words(self) -> str:
        kind = self.get_kind_display().lower() if self.kind else ""
        parts = (" ".join(filter(None, [self.maker, kind])), self._size, self._keys, *self._feel)
        words = ", ".join(filter(None, parts))
        return words[:1].upper() + words[1:]

    @property
    def must_words(self) -> list[str]:
        """The points of the wish that may not be otherwise; one that nothing was said of is left out."""
        return [WishPoint(each).label.lower() for each in self.must if self._asks_for(each)]

    def _asks_for(self, point: str) -> bool:
        asked = {
            WishPoint.MAKER: self.maker,
            WishPoint.KIND: self.kind,
            WishPoint.SIZE: self.least_cm or self.most_cm,
            WishPoint.KEYS: self.least_keys,
            WishPoint.BUDGET: self.most_minor,
            WishPoint.TOUCH: self.touch,
            WishPoint.FINISH: self.finish,
            WishPoint.DAY: self.until,
        }
        return bool(asked.get(point))

    @property
    def _size(self) -> str:
        if self.least_cm and self.most_cm:
            return f"{self.least_cm} to {self.most_cm} cm"
        if self.least_cm:
            return f"at least {self.least_cm} cm"
        return f"at most {self.most_cm} cm" if self.most_cm else ""

    @property
    def _keys(self) -> str:
        return f"{self.least_keys} keys or more" if self.least_keys else ""

    @property
    def _feel(self) -> list[str]:
        touch = f"touch {TouchWish(self.touch).label.lower()}" if self.touch in TouchWish.values else ""
        return [touch, f"sound: {self.tone}" if self.tone else "", self.finish]
