"""What the log tells of."""

from django.db.models import TextChoices


class LogKind(TextChoices):
    SIGNED_IN = "in", "Signed in"
    SIGNED_OUT = "out", "Signed out"
    FAILED = "failed", "Sign-in failed"
    PAUSED = "paused", "Sign-in paused"
    DENIED = "denied", "Refused"
    SECRET = "secret", "Password or second step"
    RIGHTS = "rights", "Who may sign in"
    MONEY = "money", "Money"
    OWNERSHIP = "owner", "Whose it is"


class TryKind(TextChoices):
    PASSWORD = "password", "a password"
    CODE = "code", "a code of the second step"
    LETTER = "letter", "a letter for a new password"


class TryOutcome(TextChoices):
    BEGUN = "begun", "not judged yet, which counts as wrong"
    RIGHT = "right", "right"
    REFUSED = "refused", "not even looked at: there were too many before it"
