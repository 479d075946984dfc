"""Call-backs: a fault that a customer tells of, judged, looked at, and closed with what was found."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from instruments.models import AppendOnly, Instrument
from instruments.models.saving import KeptHistory
from shop.care_states import AT_OUR_COST, AnswerWay, CallBackOutcome, Verdict
from shop.models.person import Person
from shop.models.promise import Promise
from workorders.models import WorkOrder


class CallBackQuerySet(models.QuerySet):
    def open(self):
        return self.filter(closed_on__isnull=True)


class CallBack(models.Model):
    number = models.CharField(max_length=20, unique=True)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="call_backs")
    promise = models.ForeignKey(Promise, on_delete=models.PROTECT, related_name="call_backs")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="call_backs")
    told_on = models.DateField()
    words = models.TextField("in their words", max_length=2000)
    part = models.SlugField(max_length=40)
    part_name = models.CharField("part", max_length=80)
    urgent = models.BooleanField(default=False)
    answer_by = models.DateField()
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    order = models.OneToOneField(
        WorkOrder, null=True, blank=True, on_delete=models.PROTECT, related_name="call_back"
    )
    outcome = models.CharField(max_length=10, choices=CallBackOutcome, blank=True)
    found = models.TextField("what was found", max_length=1500, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    confirmed_on = models.DateField("the customer says that it is right, on", null=True, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = CallBackQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_on__isnull=True, closed_by__isnull=True, outcome="", found="")
                | (Q(closed_on__gte=F("told_on"), closed_by__isnull=False) & ~Q(outcome="") & ~Q(found="")),
                name="call_back_closed_with_what_was_found",
            ),
            models.CheckConstraint(condition=~Q(words=""), name="call_back_says_what"),
            models.CheckConstraint(
                condition=Q(answer_by__gte=F("told_on")), name="call_back_answered_after_it_was_told"
            ),
        ]
        indexes = [models.Index(fields=["closed_on", "answer_by"], name="call_back_by_end")]

    def __str__(self) -> str:
        return f"{self.number}: {self.part_name.lower()} of {self.instrument}"

    def get_absolute_url(self) -> str:
        return reverse("shop:call_back_page", args=[self.number])

    @property
    def is_open(self) -> bool:
        return self.closed_on is None

    @property
    def waits_for_their_word(self) -> bool:
        return self.outcome == CallBackOutcome.PUT_RIGHT and self.confirmed_on is None

    @property
    def outcome_words(self) -> str:
        """How it ended, and whether whoever told of it says so too."""
        if self.outcome != CallBackOutcome.PUT_RIGHT:
            return self.get_outcome_display()
        if self.confirmed_on is None:
            return "Put right, not yet confirmed by the customer"
        return f"Put right, confirmed by the customer on {self.confirmed_on:%-d %B %Y}"


class CallBackJudgement(AppendOnly):
    """How a call-back was judged, and why; a later row is a change of mind that stays visible."""

    call_back = models.ForeignKey(CallBack, on_delete=models.PROTECT, related_name="judgements")
    verdict = models.CharField(max_length=12, choices=Verdict)
    why = models.CharField(max_length=500, blank=True)
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    temperature_c = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    judged_on = models.DateField()
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        verbose_name = "judgement of a call-back"
        constraints = [
            models.CheckConstraint(
                condition=Q(verdict__in=[Verdict.GUARANTEE, Verdict.LEGAL]) | ~Q(why=""),
                name="call_back_judged_with_a_reason",
            ),
            models.CheckConstraint(
                condition=Q(humidity_percent__isnull=True) | Q(humidity_percent__range=(0, 100)),
                name="call_back_judged_in_air_that_can_be",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.call_back.number}: {self.get_verdict_display().lower()}"

    @property
    def is_at_our_cost(self) -> bool:
        return self.verdict in AT_OUR_COST


class CallBackAnswer(AppendOnly):
    """What the customer was told, when and how. Told again, the newer row comes on top."""

    call_back = models.ForeignKey(CallBack, on_delete=models.PROTECT, related_name="answers")
    answered_on = models.DateField("told them on")
    how = models.CharField("how", max_length=10, choices=AnswerWay)
    words = models.TextField("what they were told", max_length=1000)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        verbose_name = "answer to a call-back"
        verbose_name_plural = "answers to call-backs"
        constraints = [models.CheckConstraint(condition=~Q(words=""), name="call_back_answer_says_what")]

    def __str__(self) -> str:
        return f"{self.call_back.number}: told {self.get_how_display().lower()}"
