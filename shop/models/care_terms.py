"""What a sale comes with: the shop's usual guarantee and tunings, and what was agreed with one sale."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from instruments.models import AppendOnly
from instruments.models.saving import KeptHistory
from shop.calc.after_care import TIMES_A_YEAR, CareTerms
from shop.care_states import RunsFrom
from shop.models.sale import Sale

PACES = [(times, str(times)) for times in TIMES_A_YEAR]
MOST_MONTHS = 240
EXCLUDED = (
    "Tuning and regulation after the first visits; what dry, damp or changing air does; wear of felt, "
    "leather and strings by playing; moths and woodworm that come to it later; accidents, misuse and moving."
)


def number_of(words: str, default: int, most: int, least: int = 0, **options):
    return models.PositiveSmallIntegerField(
        words, default=default, validators=[MinValueValidator(least), MaxValueValidator(most)], **options
    )


class UsualCare(models.Model):
    """The after-care each new sale starts from. One row; all of it common practice, no source."""

    runs_from = models.CharField(
        "the guarantee runs from", max_length=8, choices=RunsFrom, default=RunsFrom.DELIVERY
    )
    tunings_a_year = number_of(
        "tunings a year it asks for", 2, 6, help_text="0 where it asks for none. Any qualified tuner will do."
    )
    keeps_receipts = models.BooleanField("and that receipts of them are kept", default=True)
    humidity_low = number_of("air of the room, from", 45, 100)
    humidity_high = number_of("to", 60, 100)
    asks_first = models.BooleanField("we are asked before others work on what is guaranteed", default=True)
    excluded = models.TextField("what is not in it", max_length=1500, default=EXCLUDED)
    included_tunings = number_of("tunings in the price", 1, 12)
    first_from_days = number_of("first visit, from", 14, 365)
    first_to_days = number_of("first visit, to", 28, 365)
    first_year = models.PositiveSmallIntegerField("tunings in the first year", default=3, choices=PACES)
    later = models.PositiveSmallIntegerField("tunings a year after that", default=2, choices=PACES)
    answer_days = number_of("days to answer a call-back", 7, 60, 1)
    answer_urgent_days = number_of("and an urgent one", 1, 30)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(pk=1), name="only_one_usual_care"),
            models.CheckConstraint(
                condition=Q(humidity_low__lt=F("humidity_high")) & Q(humidity_high__lte=100),
                name="usual_care_of_a_band_of_air",
            ),
            models.CheckConstraint(
                condition=Q(first_from_days__lte=F("first_to_days")), name="usual_first_visit_begins_first"
            ),
        ]

    def __str__(self) -> str:
        return "Our usual after-care"

    @classmethod
    def current(cls) -> "UsualCare":
        return cls.objects.filter(pk=1).first() or cls(pk=1)


class GuaranteePart(models.Model):
    """One part in the usual guarantee: in it for so many months, or named as not in it."""

    code = models.SlugField(max_length=40, unique=True)
    position = models.PositiveSmallIntegerField("its place in the list")
    name = models.CharField("part", max_length=80)
    covered = models.BooleanField("is in our guarantee", default=True)
    months = number_of("for so many months", 12, MOST_MONTHS, 1)
    note = models.CharField("what of it", max_length=200, blank=True)
    is_as_shipped = models.BooleanField(default=False, editable=False)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(months__range=(1, MOST_MONTHS)), name="guarantee_part_for_a_time"
            ),
            models.CheckConstraint(condition=~Q(name=""), name="guarantee_part_has_a_name"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("shop:guarantee_part_edit", args=[self.code])


class SaleCare(AppendOnly):
    """The after-care agreed with one sale, word for word. The newest row holds; the others were before it."""

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="care_terms")
    terms = models.JSONField()
    sha256 = models.CharField(max_length=64)
    reminds = models.BooleanField("remind them of tunings", default=True)
    why = models.CharField("why it changed", max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        verbose_name = "after-care of a sale"

    def __str__(self) -> str:
        return f"After-care of {self.sale.number}"

    @property
    def care(self) -> CareTerms:
        return CareTerms.from_plain(self.terms)
