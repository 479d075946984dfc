"""Signing in: how often it was tried, codes for a lost telephone, and whom a second step is asked of."""

from django.conf import settings
from django.contrib.auth.models import Group
from django.db import models

from shop.log_states import TryKind, TryOutcome


class SignInTry(models.Model):
    """One try at a secret, kept for a day. Name and address are keyed marks: what was typed is not kept."""

    kind = models.CharField(max_length=8, choices=TryKind)
    account = models.CharField(max_length=64)
    address = models.CharField(max_length=64)
    is_known_device = models.BooleanField(default=False)
    outcome = models.CharField(max_length=8, choices=TryOutcome, default=TryOutcome.BEGUN)
    at = models.DateTimeField(db_index=True)

    class Meta:
        ordering = ["id"]
        indexes = [
            models.Index(fields=["account", "kind", "at"], name="try_by_account"),
            models.Index(fields=["address", "kind", "at"], name="try_by_address"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} at {self.at:%H:%M}"


class RecoveryCode(models.Model):
    """A code that stands in once for the telephone. It was shown when it was made; only its hash is kept."""

    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="recovery_codes"
    )
    code_sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField(auto_now_add=True)
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["user", "code_sha256"], name="recovery_code_once_a_person")
        ]

    def __str__(self) -> str:
        return f"recovery code {self.pk}"


class SecondStepRule(models.Model):
    """That whoever has this role has to have a second step."""

    role = models.OneToOneField(Group, on_delete=models.CASCADE, related_name="second_step_rule")
    since = models.DateTimeField(auto_now_add=True)
    laid_down_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"second step for {self.role}"
