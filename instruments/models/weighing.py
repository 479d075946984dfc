from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.urls import reverse
from django.utils import timezone

from instruments.models.append_only import AppendOnly
from instruments.models.instrument import Instrument
from instruments.states import Stage


class WeighingQuerySet(models.QuerySet):
    def open(self):
        return self.filter(closing__isnull=True)

    def closed(self):
        return self.filter(closing__isnull=False)

    def with_readings(self):
        return self.filter(Exists(KeyReading.objects.filter(weighing=OuterRef("pk"))))


class Weighing(AppendOnly):
    """One weigh-off: down-weight and up-weight of some or all keys. It takes readings until it is closed."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="weighings")
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.AS_FOUND)
    weighed_on = models.DateField()
    weighed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = WeighingQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name = "weigh-off"

    def __str__(self) -> str:
        return f"Weigh-off of {self.weighed_on:%-d %B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("instruments:weighing_page", args=[self.instrument.stock_number, self.pk])

    @property
    def is_open(self) -> bool:
        return not hasattr(self, "closing")

    def standing_readings(self) -> list["KeyReading"]:
        """The last word on each key; reads `readings` as a whole, so that they may be prefetched."""
        rows = list(self.readings.all())
        replaced = {row.replaces_id for row in rows}
        return [row for row in rows if row.pk not in replaced]


class WeighingClosing(AppendOnly):
    """From here on the readings of a weigh-off stand, whole or partial."""

    weighing = models.OneToOneField(Weighing, on_delete=models.PROTECT, related_name="closing")
    closed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    closed_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        verbose_name = "closing of a weigh-off"

    def __str__(self) -> str:
        return f"{self.weighing} closed"


class KeyReading(AppendOnly):
    """Grams at one key, the whole of what is known of it: a later row replaces the one before.

    Without an up-weight it was not taken; 0 g up says that the key does not return by itself.
    """

    weighing = models.ForeignKey(Weighing, on_delete=models.PROTECT, related_name="readings")
    key = models.SmallIntegerField(help_text="1 is A0, 88 is C8")
    down_g = models.DecimalField(max_digits=4, decimal_places=1)
    up_g = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    replaces = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaced_by"
    )
    # Rows from before a weigh-off could go on have neither: then the weigh-off's own person and moment hold.
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    taken_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ["key", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["weighing", "key"],
                condition=Q(replaces__isnull=True),
                name="one_first_reading_per_key_and_weigh_off",
            ),
            models.CheckConstraint(
                condition=Q(down_g__gte=0) & (Q(up_g__isnull=True) | Q(up_g__gte=0)),
                name="key_reading_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(up_g__isnull=True) | Q(up_g__lte=models.F("down_g")),
                name="up_weight_not_above_down_weight",
            ),
        ]

    def __str__(self) -> str:
        return f"key {self.key}: {self.down_g} down, {self.up_g} up"

    def corrects(self, earlier: "KeyReading") -> bool:
        """A weight was changed; one that was only missing before is no correction."""
        return self.down_g != earlier.down_g or (earlier.up_g is not None and self.up_g != earlier.up_g)
