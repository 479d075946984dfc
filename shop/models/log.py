"""The log: who signed in, was refused, moved money or changed whose an instrument is, and when.

A line is written in the transaction of what it tells. Lines are sealed afterwards, each hashed onto the one
before it: a transaction that writes money then waits for no other one's line. `LogHead` says how many seals
there are, so that the last ones cannot be cut off unseen; `shop/log_check.py` looks for all of it.
"""

from django.conf import settings
from django.db import models, transaction
from django.utils import timezone

from instruments.models import AppendOnly
from shop.log_states import LogKind
from workorders.currency import in_words


class LogLine(AppendOnly):
    """One thing that happened. The words name numbers and sums and no customer, so nothing here is erased.

    `subject` and `row` name the row that it tells of, as "shop.payment" and its key.
    """

    at = models.DateTimeField(default=timezone.now, db_index=True)
    kind = models.CharField(max_length=8, choices=LogKind)
    who = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="log_lines"
    )
    address = models.CharField("from where", max_length=50, blank=True)
    what = models.CharField(max_length=200)
    subject = models.CharField(max_length=40, blank=True)
    row = models.BigIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["subject", "row"], condition=~models.Q(subject=""), name="log_tells_of_a_row_once"
            )
        ]
        indexes = [
            models.Index(fields=["kind", "-id"], name="log_by_kind"),
            models.Index(fields=["who", "-id"], name="log_by_person"),
            models.Index(fields=["address", "kind", "at"], name="log_by_address"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.what}"


class LogSeal(AppendOnly):
    """A line's place in the chain, and its hash over the hash before it."""

    position = models.PositiveBigIntegerField(unique=True)
    line = models.OneToOneField(LogLine, on_delete=models.PROTECT, related_name="seal")
    sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ["position"]

    def __str__(self) -> str:
        return f"seal {self.position}"


class LogHead(models.Model):
    """The one row that says where the chain ends. Held while lines are sealed."""

    count = models.PositiveBigIntegerField(default=0)
    sha256 = models.CharField(max_length=64, blank=True)

    def __str__(self) -> str:
        return f"{self.count} lines sealed"


class Logged(AppendOnly):
    """A row whose writing stands in the log, in the same transaction."""

    LOG_KIND = LogKind.MONEY
    LOG_AMOUNT = "amount_minor"

    class Meta:
        abstract = True

    def save(self, *args, **kwargs):
        with transaction.atomic(savepoint=False):
            super().save(*args, **kwargs)
            LogLine.objects.create(
                kind=self.LOG_KIND,
                who_id=self.logged_by_id,
                what=self.log_words(),
                subject=self._meta.label_lower,
                row=self.pk,
            )

    @property
    def logged_by_id(self) -> int | None:
        return self.recorded_by_id

    def log_words(self) -> str:
        amount = getattr(self, self.LOG_AMOUNT)
        words = f"{self._meta.verbose_name} {getattr(self, 'number', '') or self.pk}"
        return f"{words}: {in_words(amount)}" if amount is not None else words
