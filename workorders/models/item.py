from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.urls import reverse

from instruments.calc.exact import plain
from instruments.models import Photo, PinSurvey, PitchSurvey, Weighing
from instruments.models.saving import KeptHistory, SavedInWords
from workorders.models.gates import held_by_structure
from workorders.models.order import WorkOrder
from workorders.models.outside import OutsideJob
from workorders.models.task import Task
from workorders.order_rules import RULES
from workorders.states import Acceptance, Concern, ItemState, OrderState
from workorders.store_states import Goes


class WorkItemQuerySet(models.QuerySet):
    def open(self):
        return self.filter(state=ItemState.OPEN, order__state=OrderState.OPEN)

    def done(self):
        return self.filter(state=ItemState.DONE)

    def can_be_done_now(self):
        """Open, here, nothing that must come first is still open, and its order may begin."""
        return (
            self.open()
            .filter(~Exists(self._open_needs()), ~self._is_away(), ~self._is_held_up())
            .filter(~held_by_structure())
        )

    def waiting(self):
        """Open, and something must come first, it is out of the house, or its order may not begin yet."""
        return self.open().filter(
            Exists(self._open_needs()) | self._is_away() | self._is_held_up() | held_by_structure()
        )

    def _open_needs(self):
        return WorkItem.needs.through.objects.filter(
            from_workitem=OuterRef("pk"), to_workitem__state=ItemState.OPEN
        )

    def _is_held_up(self):
        """By a rule of another app; see `workorders.order_rules`."""
        held = Q(pk__in=[])
        for rule in RULES:
            held |= Q(order__in=rule.held_up())
        return held

    def _is_away(self):
        """Itself, its whole order or the whole instrument is with an outworker."""
        away = OutsideJob.objects.away()
        whole = away.filter(order__instrument=OuterRef("order__instrument"), goes=Goes.WHOLE)
        return (
            Exists(away.filter(items=OuterRef("pk")))
            | Exists(away.filter(order=OuterRef("order"), items__isnull=True))
            | Exists(whole)
        )


class WorkItem(SavedInWords):
    order = models.ForeignKey(WorkOrder, on_delete=models.PROTECT, related_name="items")
    task = models.ForeignKey(Task, null=True, blank=True, on_delete=models.PROTECT, related_name="items")
    name = models.CharField(max_length=120)
    rank = models.PositiveSmallIntegerField()
    is_required = models.BooleanField("required before the order is ready", default=True)
    needs = models.ManyToManyField("self", symmetrical=False, blank=True, related_name="needed_by")
    keys = models.CharField("keys concerned", max_length=400, blank=True)
    note = models.CharField(max_length=500, blank=True)
    usual_minutes = models.PositiveIntegerField(default=60)
    assigned_to = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="work_items"
    )
    acceptance = models.CharField(max_length=8, choices=Acceptance, default=Acceptance.NOTE)
    done_when = models.CharField(max_length=200, blank=True)
    figure_name = models.CharField(max_length=80, blank=True)
    figure_unit = models.CharField(max_length=20, blank=True)
    figure_low = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    figure_high = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    drift_cents = models.DecimalField(
        "drift of at most", max_digits=5, decimal_places=1, null=True, blank=True
    )
    drift_days = models.PositiveSmallIntegerField("after at least this many days", null=True, blank=True)
    concern = models.CharField(
        "what it means for the money", max_length=10, choices=Concern, default=Concern.WORK
    )
    caution = models.TextField(blank=True)
    state = models.CharField(max_length=6, choices=ItemState, default=ItemState.OPEN)
    result = models.CharField("what was done", max_length=500, blank=True)
    figure = models.DecimalField("measured", max_digits=9, decimal_places=3, null=True, blank=True)
    weighing = models.ForeignKey(
        Weighing, null=True, blank=True, on_delete=models.PROTECT, related_name="work_items"
    )
    photo = models.ForeignKey(
        Photo, null=True, blank=True, on_delete=models.PROTECT, related_name="work_items"
    )
    photo_before = models.ForeignKey(
        Photo, null=True, blank=True, on_delete=models.PROTECT, related_name="work_items_before"
    )
    pin_survey = models.ForeignKey(
        PinSurvey, null=True, blank=True, on_delete=models.PROTECT, related_name="work_items"
    )
    pitch_survey = models.ForeignKey(
        PitchSurvey, null=True, blank=True, on_delete=models.PROTECT, related_name="work_items"
    )
    keys_rechecked = models.CharField("keys looked at again", max_length=400, blank=True)
    override_reason = models.CharField(max_length=300, blank=True)
    override_public = models.CharField("what the public is told of the reason", max_length=300, blank=True)
    stated_limit = models.TextField("the limit as it is stated to a buyer", blank=True)
    overridden_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = WorkItemQuerySet.as_manager()

    class Meta:
        ordering = ["rank", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state=ItemState.OPEN, closed_at__isnull=True, closed_by__isnull=True)
                | (~Q(state=ItemState.OPEN) & Q(closed_at__isnull=False, closed_by__isnull=False)),
                name="item_closed_by_somebody_at_a_time",
            ),
            models.CheckConstraint(
                condition=~Q(state=ItemState.DONE) | ~Q(result=""), name="item_done_says_what_was_done"
            ),
            models.CheckConstraint(
                condition=Q(override_reason="", overridden_by__isnull=True)
                | (~Q(override_reason="") & Q(overridden_by__isnull=False)),
                name="item_override_has_a_name_and_a_reason",
            ),
        ]
        indexes = [
            models.Index(fields=["state", "assigned_to", "rank"], name="work_item_by_person"),
            models.Index(
                fields=["order", "state", "is_required"],
                condition=Q(state=ItemState.OPEN, is_required=True),
                name="work_item_still_required",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("workorders:item_page", args=[self.pk])

    @property
    def is_open(self) -> bool:
        return self.state == ItemState.OPEN

    @property
    def closes_on(self) -> str:
        return Acceptance(self.acceptance).closes_on

    @property
    def limits_words(self) -> str:
        """The limits as a person says them: "2 to 3 mm", "within 5 cents", "at most 65 % RH"."""
        low, high, unit = self.figure_low, self.figure_high, self.figure_unit
        if low is None and high is None:
            return ""
        if high is None:
            return f"at least {plain(low)} {unit}"
        if low is None:
            return f"at most {plain(high)} {unit}"
        return f"within {plain(high)} {unit}" if low == -high else f"{plain(low)} to {plain(high)} {unit}"

    @property
    def measured(self) -> str:
        """What was measured, or weighed off, when the item was closed."""
        if self.figure is not None:
            return f"{self.figure_name}: {plain(self.figure)} {self.figure_unit}".strip(": ")
        return "weighed off key by key" if self.weighing else ""

    @property
    def limit_sentence(self) -> str:
        """The limit that is stated to a buyer; "" where the proof was there. Nobody types it."""
        if not self.override_reason:
            return ""
        return self.stated_limit or f"{self.name}: accepted by the shop without the proof it asks for."

    @property
    def limit_words(self) -> str:
        """The limit with what the owner said of the reason for the public."""
        reason = f" Reason given: {self.override_public}" if self.override_public else ""
        return f"{self.limit_sentence}{reason}"
