from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse

from instruments.calc.exact import plain
from instruments.models import Instrument
from instruments.models.saving import KeptHistory, SavedInWords
from workorders.states import OrderState

TOUCH_FIELDS = ("touch_bass_g", "touch_middle_g", "touch_treble_g", "touch_tolerance_g")


def own_grams(words: str):
    """One weight of a curve of the order's own; none where the instrument's holds."""
    return models.DecimalField(
        words,
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(30)), MaxValueValidator(Decimal(90))],
    )


class WorkOrderQuerySet(models.QuerySet):
    def open(self):
        return self.filter(state=OrderState.OPEN)

    def closed(self):
        return self.exclude(state=OrderState.OPEN)


class WorkOrder(SavedInWords):
    """What is to be done to one instrument. Who asked for it and what was quoted is the shop's to know."""

    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="work_orders")
    title = models.CharField(max_length=120)
    note = models.TextField(blank=True, max_length=4000)
    state = models.CharField(max_length=10, choices=OrderState, default=OrderState.OPEN)
    due_on = models.DateField(null=True, blank=True)
    touch_bass_g = own_grams("its own touch, lowest key")
    touch_middle_g = own_grams("its own touch, middle")
    touch_treble_g = own_grams("its own touch, highest key")
    touch_tolerance_g = models.DecimalField(
        "its own touch, within",
        max_digits=3,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0.5"))],
    )
    touch_reason = models.CharField("whose touch it is", max_length=200, blank=True)
    opened_on = models.DateField()
    opened_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = WorkOrderQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        permissions = [
            ("do_work", "Can do bench work: open orders, log time and parts, close items"),
            ("run_bench", "Can edit the task library and set the bench rates"),
            ("override_acceptance", "Can accept work that its measurement does not bear out, with a reason"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(state=OrderState.OPEN, closed_at__isnull=True, closed_by__isnull=True)
                | (~Q(state=OrderState.OPEN) & Q(closed_at__isnull=False, closed_by__isnull=False)),
                name="order_closed_by_somebody_at_a_time",
            ),
            models.CheckConstraint(
                condition=Q(**{f"{name}__isnull": True for name in TOUCH_FIELDS}, touch_reason="")
                | (Q(**{f"{name}__isnull": False for name in TOUCH_FIELDS}) & ~Q(touch_reason="")),
                name="order_own_touch_is_whole_and_says_whose",
            ),
        ]
        indexes = [
            models.Index(fields=["state", "-id"], name="work_order_by_state"),
            models.Index(
                fields=["due_on", "id"], condition=Q(state=OrderState.OPEN), name="open_order_by_due_day"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("workorders:order_page", args=[self.number])

    @property
    def is_open(self) -> bool:
        return self.state == OrderState.OPEN

    @property
    def has_own_touch(self) -> bool:
        """Whether its weigh-offs are held to a curve of its own in place of the instrument's."""
        return self.touch_bass_g is not None

    @property
    def own_touch_words(self) -> str:
        """ "49 / 47 / 45 g within 2 g, for I. Fenn: 3 g lighter"; nothing without a touch of its own."""
        if not self.has_own_touch:
            return ""
        aimed = " / ".join(plain(g) for g in (self.touch_bass_g, self.touch_middle_g, self.touch_treble_g))
        return f"{aimed} g within {plain(self.touch_tolerance_g)} g, {self.touch_reason}"
