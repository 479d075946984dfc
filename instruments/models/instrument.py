"""One piano: what it is, and how we know it."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from instruments.calc import compass, edtf
from instruments.calc.exact import exact, plain
from instruments.models.saving import KeptHistory, SavedInWords
from instruments.models.searching import holding, rare_words
from instruments.states import (
    COVERINGS_THAT_MAY_BE_IVORY,
    CaseWood,
    Covering,
    Damping,
    Frame,
    Kind,
    MadeBasis,
    Place,
    Stringing,
)

LOWEST_FIRST_KEY = -8  # C0, nine notes below A0
MOST_KEYS = 97
STRETCH_BEGINS = {"between", "before", "after", "by", "from", "up"}  # "by the end of the 1930s"
FINISHES_NOT_WOODS = {CaseWood.EBONISED, CaseWood.PAINTED}


class InstrumentQuerySet(models.QuerySet):
    def search(self, text: str, *, rare: tuple[str, ...] | None = None):
        """Every word must stand somewhere in the folded record: names, serial, stock number, history.

        `rare` is the answer of `rare_words`, where the caller has asked already.
        """
        return self.filter(holding(text, rare=rare_words(self.model, text) if rare is None else rare))

    def with_first_photo(self):
        return self.prefetch_related("photos")


def centimetres(**options):
    return models.DecimalField(
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(20)), MaxValueValidator(Decimal(400))],
        **options,
    )


def grams(default: int):
    return models.DecimalField(
        max_digits=4,
        decimal_places=1,
        default=Decimal(default),
        validators=[MinValueValidator(Decimal(30)), MaxValueValidator(Decimal(90))],
    )


class Instrument(SavedInWords):
    stock_number = models.CharField(max_length=20, unique=True)
    kind = models.CharField(max_length=10, choices=Kind)
    maker = models.CharField(max_length=120, help_text="“unknown” is an answer.")
    name_on_fall = models.CharField("name on the fall", max_length=120, blank=True)
    model = models.CharField(max_length=80, blank=True)
    serial = models.CharField(max_length=40, blank=True)
    serial_read_at = models.CharField("where the serial was read", max_length=80, blank=True)
    made = models.CharField(max_length=60, blank=True)
    made_earliest = models.DateField(null=True, blank=True, editable=False)
    made_latest = models.DateField(null=True, blank=True, editable=False)
    made_basis = models.CharField("how the date is known", max_length=10, choices=MadeBasis, blank=True)
    made_basis_note = models.CharField("note on the date", max_length=200, blank=True)
    height_cm = centimetres(verbose_name="height")
    length_cm = centimetres(verbose_name="length")
    width_cm = centimetres(verbose_name="width")
    depth_cm = centimetres(verbose_name="depth")
    weight_kg = models.PositiveSmallIntegerField(
        "weight", null=True, blank=True, validators=[MinValueValidator(30), MaxValueValidator(700)]
    )
    first_key = models.SmallIntegerField(default=1)
    key_count = models.PositiveSmallIntegerField("number of keys", default=88)
    stringing = models.CharField(max_length=10, choices=Stringing, blank=True)
    damping = models.CharField(max_length=10, choices=Damping, blank=True)
    frame = models.CharField(max_length=10, choices=Frame, blank=True)
    pedals = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(5)])
    case_wood = models.CharField(max_length=12, choices=CaseWood, blank=True)
    case_finish = models.CharField(max_length=80, blank=True)
    natural_covering = models.CharField(
        "covering of the naturals", max_length=10, choices=Covering, default=Covering.UNKNOWN
    )
    sharp_covering = models.CharField(
        "covering of the sharps", max_length=10, choices=Covering, default=Covering.UNKNOWN
    )
    touch_bass_g = grams(52)
    touch_middle_g = grams(50)
    touch_treble_g = grams(48)
    touch_tolerance_g = models.DecimalField(
        max_digits=3, decimal_places=1, default=Decimal(2), validators=[MinValueValidator(Decimal("0.5"))]
    )
    touch_reason = models.CharField("why its touch is not the shop’s usual", max_length=200, blank=True)
    place = models.CharField(max_length=10, choices=Place, default=Place.WORKSHOP)
    place_note = models.CharField(max_length=120, blank=True)
    search_text = models.TextField(blank=True, editable=False)
    logged_at = models.DateTimeField(auto_now_add=True)
    logged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )

    history = KeptHistory(
        excluded_fields=["search_text"], history_change_reason_field=models.TextField(null=True)
    )
    objects = InstrumentQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        permissions = [
            ("log_instrument", "Can log an acquired instrument and correct its identity"),
            ("inspect_instrument", "Can record findings, statements, photos and weigh-offs"),
            ("keep_library", "Can keep the tell-tales and the serial marks"),
            ("see_private_documents", "Can see documents kept from the rest of the shop"),
        ]
        indexes = [
            models.Index(fields=["maker", "-id"], name="instrument_by_maker"),
            models.Index(fields=["height_cm", "-id"], name="instrument_by_height"),
            models.Index(fields=["kind", "-id"], name="instrument_by_kind"),
            models.Index(fields=["place", "-id"], name="instrument_by_place"),
            models.Index(fields=["made_earliest", "-id"], name="instrument_by_made"),
            models.Index(
                fields=["natural_covering"],
                condition=Q(natural_covering__in=COVERINGS_THAT_MAY_BE_IVORY),
                name="naturals_perhaps_of_ivory",
            ),
            models.Index(
                fields=["sharp_covering"],
                condition=Q(sharp_covering__in=COVERINGS_THAT_MAY_BE_IVORY),
                name="sharps_perhaps_of_ivory",
            ),
        ]
        constraints = [
            models.CheckConstraint(condition=~Q(maker=""), name="instrument_names_a_maker_or_unknown"),
            models.CheckConstraint(
                condition=Q(key_count__gte=20, key_count__lte=MOST_KEYS), name="instrument_has_20_to_97_keys"
            ),
            models.CheckConstraint(
                condition=Q(first_key__gte=LOWEST_FIRST_KEY, first_key__lte=60),
                name="instrument_first_key_in_range",
            ),
            models.CheckConstraint(
                condition=Q(made_earliest__isnull=True)
                | Q(made_latest__isnull=True)
                | Q(made_latest__gte=F("made_earliest")),
                name="instrument_made_in_order",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stock_number} {self.maker_name}"

    def save(self, *args, **kwargs):
        self.made_earliest, self.made_latest = edtf.bounds(self.made) if self.made else (None, None)
        super().save(*args, **kwargs)

    def get_absolute_url(self) -> str:
        return reverse("instrument", args=[self.stock_number])

    @property
    def maker_is_known(self) -> bool:
        return self.maker.strip().casefold() != "unknown"

    @property
    def maker_name(self) -> str:
        return self.maker if self.maker_is_known else "Maker unknown"

    @property
    def made_words(self) -> str:
        """How a person says the date: "about 1912"."""
        return edtf.describe(self.made) if self.made else "date not known"

    @property
    def made_is_told(self) -> bool:
        """Whether nothing but a word, or nothing at all, stands behind its date."""
        return self.made_basis in {"", MadeBasis.TOLD}

    @property
    def made_basis_words(self) -> str:
        words = self.get_made_basis_display() if self.made_basis else "basis not recorded"
        return f"{words}; {self.made_basis_note}" if self.made_basis_note else words

    @property
    def compass_words(self) -> str:
        return compass.compass_sentence(self.first_key, self.key_count)

    @property
    def coverings(self) -> set[str]:
        return {self.natural_covering, self.sharp_covering}

    @property
    def may_be_ivory(self) -> bool:
        return not self.coverings.isdisjoint(COVERINGS_THAT_MAY_BE_IVORY)

    @property
    def sentence(self) -> str:
        """What it is, in one line under its name."""
        words = [self.get_stringing_display().lower(), self._noun]
        build = " ".join(word for word in words if word)
        parts = [f"{'An' if build[:1] in 'aeiou' else 'A'} {build}{self._of_its_date}"]
        if self.height_cm and self.kind == Kind.UPRIGHT:
            parts.append(f"{plain(exact(self.height_cm))} cm tall")
        if self.length_cm and self.kind != Kind.UPRIGHT:
            parts.append(f"{plain(exact(self.length_cm))} cm long")
        if self.case_wood:
            finish = self.get_case_wood_display().lower()
            parts.append(finish if self.case_wood in FINISHES_NOT_WOODS else f"in {finish}")
        return ", ".join(parts) + f", with {self.key_count} keys."

    @property
    def _noun(self) -> str:
        if self.kind == Kind.UPRIGHT:
            return self.get_damping_display().lower() or "upright"
        return "square piano" if self.kind == Kind.SQUARE else "grand"

    @property
    def _of_its_date(self) -> str:
        """As it follows the noun: of about 1912; made between 1908 and 1911; said to be of about 1924.

        It reads no stronger than its source: a date that was only told is said to be so.
        """
        if not self.made:
            return ""
        words = self.made_words.removeprefix("possibly ")
        doubt = "possibly " if words != self.made_words else ""
        said = "said to be " if self.made_is_told else ""
        is_stretch = words.split()[0] in STRETCH_BEGINS
        if not said and not doubt and not is_stretch:
            return f" of {words}"
        return f", {said}{doubt}{'made' if is_stretch else 'of'} {words}"
