"""Reminders by e-mail before a hold or a home trial ends: each attempt, and what became of it."""

from django.db import models

from instruments.models import AppendOnly
from shop.models.promise import Promise


class ReminderAttempt(AppendOnly):
    """Written before anything is sent: of two that run at once, the database lets one have each number."""

    promise = models.ForeignKey(Promise, on_delete=models.PROTECT, related_name="reminder_attempts")
    ends_on = models.DateField("the end it speaks of")
    mark = models.SmallIntegerField("days before the end")
    recipient = models.EmailField()
    number = models.PositiveSmallIntegerField("which try")
    begun_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["promise", "ends_on", "mark", "recipient", "number"],
                name="one_reminder_a_mark_and_try",
            )
        ]

    def __str__(self) -> str:
        return f"{self.recipient}, {self.mark} days before {self.ends_on:%-d %B %Y}, try {self.number}"


class ReminderResult(AppendOnly):
    """What the mail server said. An attempt without a result was cut off and is not sent again."""

    attempt = models.OneToOneField(ReminderAttempt, on_delete=models.PROTECT, related_name="result")
    was_sent = models.BooleanField()
    answer = models.CharField("what went wrong", max_length=300, blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return "sent" if self.was_sent else f"not sent: {self.answer}"
