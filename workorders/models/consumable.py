"""What the bench uses up, and everything that made it more or less. What is on hand is a sum of rows."""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import F, OuterRef, Q, Subquery, Sum
from django.db.models.functions import Coalesce, Lower, Round
from django.urls import reverse

from instruments.calc.exact import plain
from instruments.models import AppendOnly
from instruments.models.saving import KeptHistory
from workorders.models.bench_cost import PartUsed
from workorders.store_states import HAZARD_WORDS, ConsumableKind, GaugeTable, Hazard, Movement, Unit

QUANTITY = models.DecimalField(max_digits=20, decimal_places=2)


class ConsumableQuerySet(models.QuerySet):
    def in_use(self):
        return self.filter(in_use=True)

    def with_stock(self):
        """Each with `on_hand` and what that has cost, `on_hand_minor`."""
        moved = StockMovement.objects.filter(consumable=OuterRef("pk")).order_by().values("consumable")
        quantity = Subquery(moved.annotate(sum=Sum("quantity")).values("sum"), output_field=QUANTITY)
        value = Subquery(moved.annotate(sum=Sum("value_minor")).values("sum"))
        return self.annotate(
            # SQLite adds decimals up as floats: rounded, they are what was written down again.
            on_hand=Round(Coalesce(quantity, Decimal(0), output_field=QUANTITY), 2, output_field=QUANTITY),
            on_hand_minor=Coalesce(value, 0),
        )

    def low(self):
        """What has come down to its mark or below it."""
        return self.in_use().with_stock().filter(low_mark__isnull=False, on_hand__lte=F("low_mark"))


class Consumable(models.Model):
    """Something that is used up: wire by its gauge and millimetres, pins by size, leads, felt, glue."""

    kind = models.CharField(max_length=12, choices=ConsumableKind)
    name = models.CharField(max_length=100)
    unit = models.CharField(max_length=6, choices=Unit, default=Unit.EACH)
    gauge = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    gauge_table = models.CharField("table of the gauge", max_length=8, choices=GaugeTable, blank=True)
    size = models.CharField("size as its maker numbers it", max_length=40, blank=True)
    diameter_mm = models.DecimalField("diameter in mm", max_digits=6, decimal_places=3, null=True, blank=True)
    low_mark = models.DecimalField("low when down to", max_digits=9, decimal_places=2, null=True, blank=True)
    location = models.CharField("where it is kept", max_length=80, blank=True)
    supplier_note = models.CharField("from whom", max_length=200, blank=True)
    hazard = models.CharField(max_length=8, choices=Hazard, blank=True, default=Hazard.NONE)
    note = models.CharField(max_length=300, blank=True)
    in_use = models.BooleanField("still kept in stock", default=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = ConsumableQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "diameter_mm", "name"]
        constraints = [
            models.UniqueConstraint(Lower("name"), name="consumable_name_once"),
            models.CheckConstraint(
                condition=Q(gauge__isnull=True, gauge_table="")
                | (Q(gauge__isnull=False, diameter_mm__isnull=False) & ~Q(gauge_table="")),
                name="consumable_gauge_has_its_table_and_millimetres",
            ),
            models.CheckConstraint(
                condition=~Q(kind=ConsumableKind.STRINGS) | Q(diameter_mm__isnull=False),
                name="consumable_wire_has_millimetres",
            ),
            models.CheckConstraint(
                condition=~Q(kind=ConsumableKind.LEADS) | Q(hazard=Hazard.LEAD),
                name="consumable_leads_are_lead",
            ),
            models.CheckConstraint(
                condition=Q(low_mark__isnull=True) | Q(low_mark__gte=0),
                name="consumable_low_mark_not_below_nothing",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("workorders:consumable_page", args=[self.pk])

    @property
    def size_words(self) -> str:
        """ "gauge 15 (metric table), 0.875 mm": a gauge never stands alone."""
        gauge = f"gauge {plain(self.gauge)} ({self.get_gauge_table_display().lower()})" if self.gauge else ""
        width = f"{plain(self.diameter_mm)} mm" if self.diameter_mm else ""
        return ", ".join(filter(None, [gauge, self.size, width]))

    @property
    def caution(self) -> str:
        """What to mind when it is handled; nothing where there is nothing in particular."""
        return HAZARD_WORDS.get(self.hazard, "")

    def amount_words(self, quantity: Decimal) -> str:
        """ "12" for what is counted, "3.5 m" for what is measured."""
        return plain(quantity) if self.unit == Unit.EACH else f"{plain(quantity)} {self.get_unit_display()}"


class StockMovement(AppendOnly):
    """A quantity that came or went, with what it had cost. Nothing on hand has a cost of nothing."""

    consumable = models.ForeignKey(Consumable, on_delete=models.PROTECT, related_name="movements")
    kind = models.CharField(max_length=12, choices=Movement)
    quantity = models.DecimalField(max_digits=11, decimal_places=2)
    value_minor = models.BigIntegerField("what it cost")
    counted = models.DecimalField(
        "found when counted", max_digits=11, decimal_places=2, null=True, blank=True
    )
    part = models.OneToOneField(
        PartUsed, null=True, blank=True, on_delete=models.PROTECT, related_name="movement"
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    moved_on = models.DateField()
    note = models.CharField(max_length=200, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(
                    kind__in=[Movement.DELIVERY, Movement.RETURNED], quantity__gt=0, value_minor__gte=0
                )
                | Q(
                    kind__in=[Movement.USED, Movement.WRITTEN_OFF, Movement.UNDELIVERED],
                    quantity__lt=0,
                    value_minor__lte=0,
                )
                | Q(kind=Movement.COUNTED),
                name="stock_movement_goes_its_way",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=[Movement.USED, Movement.RETURNED], part__isnull=False)
                | (~Q(kind__in=[Movement.USED, Movement.RETURNED]) & Q(part__isnull=True)),
                name="stock_movement_used_on_an_item",
            ),
            models.CheckConstraint(
                condition=Q(kind=Movement.COUNTED, counted__gte=0)
                | (~Q(kind=Movement.COUNTED) & Q(counted__isnull=True)),
                name="stock_movement_counted_says_how_many",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=[Movement.COUNTED, Movement.WRITTEN_OFF]) | ~Q(note=""),
                name="stock_movement_without_a_use_says_why",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=[Movement.UNDELIVERED, Movement.RETURNED], corrects__isnull=False)
                | (~Q(kind__in=[Movement.UNDELIVERED, Movement.RETURNED]) & Q(corrects__isnull=True)),
                name="stock_movement_is_only_taken_back_by_name",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.consumable}"

    @property
    def signed_words(self) -> str:
        """ "+12", "−3.5 m": what it did to the quantity on hand."""
        sign = "+" if self.quantity > 0 else "\N{MINUS SIGN}" if self.quantity < 0 else ""
        return f"{sign}{self.consumable.amount_words(abs(self.quantity))}"


class TaskPart(models.Model):
    """What a task usually takes: something kept in stock, or only a name."""

    task = models.ForeignKey("workorders.Task", on_delete=models.CASCADE, related_name="typical_parts")
    consumable = models.ForeignKey(
        Consumable, null=True, blank=True, on_delete=models.PROTECT, related_name="typical_for"
    )
    name = models.CharField(max_length=100, blank=True)
    quantity = models.DecimalField(max_digits=9, decimal_places=2)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=(Q(consumable__isnull=True) & ~Q(name=""))
                | (Q(consumable__isnull=False) & Q(name="")),
                name="task_part_is_kept_or_named",
            ),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="task_part_is_not_nothing"),
            models.UniqueConstraint(fields=["task", "consumable"], name="task_part_once_for_a_task"),
        ]

    def __str__(self) -> str:
        if self.consumable:
            return f"{self.consumable.amount_words(self.quantity)} × {self.consumable}"
        return f"{plain(self.quantity)} × {self.name}"

    @property
    def what(self) -> str:
        return str(self.consumable or self.name)
