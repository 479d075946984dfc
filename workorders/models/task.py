from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from instruments.models.saving import KeptHistory
from workorders.states import WITH_LIMITS, Acceptance, Concern


class TaskQuerySet(models.QuerySet):
    def in_use(self):
        return self.filter(in_use=True)


class Task(models.Model):
    """A job of the trade: its place in the order of work, what must come first, and what closes it."""

    code = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=80)
    rank = models.PositiveSmallIntegerField(help_text="Its place in the order of work.")
    usual_minutes = models.PositiveIntegerField()
    minutes_source = models.CharField("where the usual minutes come from", max_length=200, blank=True)
    acceptance = models.CharField(max_length=8, choices=Acceptance, default=Acceptance.NOTE)
    done_when = models.CharField("done when", max_length=200)
    figure_name = models.CharField("what is measured", max_length=80, blank=True)
    figure_unit = models.CharField("unit", max_length=20, blank=True)
    figure_low = models.DecimalField("from", max_digits=9, decimal_places=3, null=True, blank=True)
    figure_high = models.DecimalField("to", max_digits=9, decimal_places=3, null=True, blank=True)
    drift_cents = models.DecimalField(
        "drift of at most", max_digits=5, decimal_places=1, null=True, blank=True
    )
    drift_days = models.PositiveSmallIntegerField("after at least this many days", null=True, blank=True)
    concern = models.CharField(
        "what it means for the money", max_length=10, choices=Concern, default=Concern.WORK
    )
    caution = models.TextField(blank=True)
    needs = models.ManyToManyField(
        "self", symmetrical=False, blank=True, related_name="needed_by", verbose_name="what must come first"
    )
    in_use = models.BooleanField("offered when an order is opened", default=True)
    is_as_shipped = models.BooleanField(default=False, editable=False)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = TaskQuerySet.as_manager()

    class Meta:
        ordering = ["rank", "name"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(acceptance__in=WITH_LIMITS)
                | (
                    ~Q(figure_unit="")
                    & ~Q(figure_name="")
                    & (Q(figure_low__isnull=False) | Q(figure_high__isnull=False))
                ),
                name="task_figure_has_name_unit_and_limit",
            ),
            models.CheckConstraint(
                condition=Q(figure_low__isnull=True)
                | Q(figure_high__isnull=True)
                | Q(figure_high__gte=F("figure_low")),
                name="task_figure_limits_in_order",
            ),
            models.CheckConstraint(
                condition=Q(drift_cents__isnull=True, drift_days__isnull=True)
                | Q(acceptance=Acceptance.PITCH, drift_cents__gt=0, drift_days__gte=1),
                name="task_drift_is_of_pitch_over_days",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("workorders:task_edit", args=[self.code])

    @property
    def closes_on(self) -> str:
        return Acceptance(self.acceptance).closes_on


class TaskSetQuerySet(models.QuerySet):
    def in_use(self):
        return self.filter(in_use=True)

    def with_tasks(self):
        """Each with those of its tasks that are in use, in the order of work."""
        return self.prefetch_related(models.Prefetch("tasks", Task.objects.in_use()))


class TaskSet(models.Model):
    """Tasks that are usually ordered together."""

    code = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=80)
    note = models.CharField("what it is for", max_length=200, blank=True)
    tasks = models.ManyToManyField(Task, related_name="sets")
    in_use = models.BooleanField("offered when an order is opened", default=True)
    is_as_shipped = models.BooleanField(default=False, editable=False)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = TaskSetQuerySet.as_manager()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("workorders:task_set_edit", args=[self.code])

    @property
    def usual_minutes(self) -> int:
        return sum(task.usual_minutes for task in self.tasks.all())
