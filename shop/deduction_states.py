"""What is deducted from what a customer paid, and how they agreed to it."""

from django.db.models import TextChoices


class DeductionKind(TextChoices):
    DAMAGE = "damage", "Damage"
    MISSING = "missing", "Something missing"
    OTHER = "other", "Something else agreed"
    NOT_COUNTING = "not_counting", "Does not count by the terms"
    GIVEN_BACK = "given_back", "Given back of what was kept"


# What a person may agree with a customer; the others are written by the act that they belong to.
AGREED_KINDS = (DeductionKind.DAMAGE, DeductionKind.MISSING, DeductionKind.OTHER)


class DeductionAgreed(TextChoices):
    """How a customer agreed to a deduction."""

    SIGNED = "signed", "Signed on the condition sheet"
    WRITTEN = "written", "In a letter or an e-mail"
    MESSAGE = "message", "In another written message"
    SPOKEN = "spoken", "Said to us, in person or by telephone"
