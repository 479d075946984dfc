import threading
from collections.abc import Iterator
from contextlib import contextmanager
from copy import copy
from decimal import Decimal
from functools import cache, lru_cache

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import connection, models
from django.db.models import Q

from instruments.models.saving import KeptHistory
from instruments.models.worded import Worded, beforehand, read_as
from shop.states import Jurisdiction, TaxScheme

TOUCH = ("touch_bass_g", "touch_middle_g", "touch_treble_g", "touch_tolerance_g")


def grams(default: int, name: str):
    """A down-weight aimed at; what an instrument is logged with until somebody sets its own."""
    return models.DecimalField(
        name,
        max_digits=4,
        decimal_places=1,
        default=Decimal(default),
        validators=[MinValueValidator(Decimal(30)), MaxValueValidator(Decimal(90))],
    )


class _Page(threading.local):
    is_made = False
    profile: "ShopProfile | None" = None


_page = _Page()


class ShopProfile(models.Model):
    """Whose shop this is, and the terms it starts from. One row."""

    name = models.CharField("name of the shop", max_length=120, default="Our shop")
    address = models.TextField(max_length=400, blank=True)
    telephone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    vat_number = models.CharField("VAT number", max_length=20, blank=True)
    public_address = models.URLField(
        "address of the window on the web", blank=True, help_text="Printed as a code on sale sheets."
    )
    jurisdiction = models.CharField(
        "whose law we trade under", max_length=5, choices=Jurisdiction, default="uk"
    )
    tax_scheme = models.CharField(max_length=10, choices=TaxScheme, default=TaxScheme.MARGIN)
    tax_country = models.CharField(
        "country whose rates apply",
        max_length=2,
        blank=True,
        default="GB",
        help_text="ISO 3166.",
    )
    trial_days = models.PositiveSmallIntegerField(
        "usual length of a home trial, in days",
        default=42,
        validators=[MinValueValidator(1), MaxValueValidator(88)],
        help_text="Under three months; a longer loan may be regulated hire. Take advice.",
    )
    reminds_customers = models.BooleanField(
        "our terms say that customers are reminded by e-mail",
        default=False,
        help_text="14, 7 and 0 days before a hold or a home trial ends, once a mail server is set.",
    )
    storage_week_minor = models.PositiveBigIntegerField("a week of floor for one instrument", default=0)
    storage_free_weeks = models.PositiveSmallIntegerField(
        "weeks that are not counted", default=0, validators=[MaxValueValidator(104)]
    )
    reserve_percent = models.DecimalField(
        "reserve for the guarantee, of the price",
        max_digits=4,
        decimal_places=1,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(30))],
    )
    reserve_fixed_minor = models.PositiveBigIntegerField("and a fixed sum", default=0)
    guarantee_months = models.PositiveSmallIntegerField(
        "our guarantee runs, in months", default=12, validators=[MaxValueValidator(120)]
    )
    wanted_profit_minor = models.PositiveBigIntegerField("profit wanted of an instrument", default=0)
    touch_bass_g = grams(52, "usual touch, lowest key")
    touch_middle_g = grams(50, "usual touch, middle")
    touch_treble_g = grams(48, "usual touch, highest key")
    touch_tolerance_g = models.DecimalField(
        "how far a key may lie from it",
        max_digits=3,
        decimal_places=1,
        default=Decimal(2),
        validators=[MinValueValidator(Decimal("0.5")), MaxValueValidator(Decimal(10))],
    )
    hold_days = models.PositiveSmallIntegerField(
        "usual length of a hold, in days",
        default=14,
        validators=[MinValueValidator(1), MaxValueValidator(92)],
    )
    hold_full_days = models.PositiveSmallIntegerField(
        "a deposit is given back in full for, in days",
        default=7,
        validators=[MaxValueValidator(92)],
        help_text="From the day the hold is placed.",
    )
    hold_keep_percent = models.PositiveSmallIntegerField(
        "afterwards of a deposit may be kept, for a real loss, at most",
        default=25,
        validators=[MaxValueValidator(100)],
        help_text="Common practice, no source. Blanket non-refundable terms are likely unfair.",
    )
    hold_keep_most_minor = models.PositiveBigIntegerField("and never more than", null=True, blank=True)
    hold_large_percent = models.PositiveSmallIntegerField(
        "a deposit is large above, of the price",
        default=10,
        validators=[MaxValueValidator(100)],
        help_text="We are cautioned above it. Common practice, no source.",
    )
    keep_years = models.PositiveSmallIntegerField(
        "books and papers are kept for, in years",
        default=6,
        validators=[MinValueValidator(1), MaxValueValidator(30)],
        help_text="After the last dealing. Six for the UK margin scheme (gov.uk). Check your own law.",
    )
    enquiry_days = models.PositiveSmallIntegerField(
        "who asks us something is answered within, in days",
        default=2,
        validators=[MinValueValidator(1), MaxValueValidator(30)],
        help_text="Said on the page where they ask; afterwards it stands on Today as late.",
    )
    enquiry_months = models.PositiveSmallIntegerField(
        "what they asked is kept for, in months",
        default=12,
        validators=[MinValueValidator(1), MaxValueValidator(60)],
        help_text="After it was closed, if they did not become a customer. Said on the page as well.",
    )
    enquiries_to = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name="enquiries go to",
    )
    work_enquiries_to = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name="questions of work and tuning go to",
    )
    delivery_words = models.TextField("what we say of delivery", max_length=600, blank=True)
    guarantee_words = models.TextField("what we say of our guarantee", max_length=600, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        permissions = [
            ("see_costs", "Can see purchase prices, costs and margins"),
            ("see_people", "Can see customers and sellers"),
            ("sell", "Can list, hold, lend on trial and sell"),
            ("run_shop", "Can change the shop's terms, prices below the floor and the books"),
        ]
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="only_one_shop_profile")]

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs):
        super().save(*args, **kwargs)
        _page.profile = None

    @classmethod
    def current(cls) -> "ShopProfile":
        """Read anew each time; while a page is made, once, as every page asks for it several times over."""
        return copy(cls._of_this_page())  # a form may write what was typed into its own

    @classmethod
    def jurisdiction_now(cls) -> str:
        """The same of the law alone, which every list asks for."""
        return cls._of_this_page().jurisdiction

    @classmethod
    def _of_this_page(cls) -> "ShopProfile":
        if not _page.is_made:
            return cls._read()
        if _page.profile is None:
            _page.profile = cls._read()
        return _page.profile

    @classmethod
    def _read(cls) -> "ShopProfile":
        """Not to be written into: the next page may be given the same."""
        found = _the_one(connection.vendor).rows()
        return _made_of(found[0]) if found else _unwritten()

    @classmethod
    @contextmanager
    def kept_meanwhile(cls) -> Iterator[None]:
        """Until it ends, `current` reads once: for one page that changes nothing, in one thread."""
        _page.is_made, _page.profile = True, None
        try:
            yield
        finally:
            _page.is_made, _page.profile = False, None

    @property
    def usual_touch(self) -> dict[str, Decimal]:
        """Fields of a newly logged Instrument."""
        return {name: getattr(self, name) for name in TOUCH}


@beforehand
def _the_one(vendor: str) -> Worded:
    return Worded.of(ShopProfile.objects.filter(pk=1).values_list(*_columns()))


def _columns() -> list[str]:
    return [field.attname for field in ShopProfile._meta.concrete_fields]


@cache
def _unwritten() -> ShopProfile:
    return ShopProfile(pk=1)


@lru_cache(maxsize=8)
def _made_of(read: tuple) -> ShopProfile:
    """Of the row as the database gave it; whoever asks is given a copy."""
    return read_as(ShopProfile, dict(zip(_columns(), read, strict=True)))
