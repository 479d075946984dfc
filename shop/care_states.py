"""States of after-care, with the groups that code compares against."""

from django.db.models import TextChoices


class RunsFrom(TextChoices):
    DELIVERY = "delivery", "The day it was delivered"
    SALE = "sale", "The day of the sale"


class VisitKind(TextChoices):
    TUNING = "tuning", "Tuning"
    CALL_BACK = "call_back", "Call-back"


class VisitState(TextChoices):
    BOOKED = "booked", "Booked"
    DONE = "done", "Done"
    NOT_DONE = "not_done", "Not done"


class Verdict(TextChoices):
    """How a fault that a customer told of is judged."""

    GUARANTEE = "guarantee", "Under our guarantee"
    LEGAL = "legal", "By their legal right"
    GOODWILL = "goodwill", "As goodwill"
    CLIMATE = "climate", "The air of the room"
    NOT_COVERED = "not_covered", "Not covered"


AT_OUR_COST = frozenset({Verdict.GUARANTEE, Verdict.LEGAL, Verdict.GOODWILL})
# What the reserve for the guarantee was set aside for; goodwill is a gift, and a cost of the shop.
GUARANTEE_WORK = frozenset({Verdict.GUARANTEE, Verdict.LEGAL})
WANTS_A_REASON = frozenset({Verdict.GOODWILL, Verdict.CLIMATE, Verdict.NOT_COVERED})


class AnswerWay(TextChoices):
    """How a customer was told what we make of what they told us."""

    TELEPHONE = "telephone", "By telephone"
    EMAIL = "email", "By e-mail"
    LETTER = "letter", "By letter"
    MESSAGE = "message", "By another message"
    FACE = "face", "Face to face"


class CallBackOutcome(TextChoices):
    PUT_RIGHT = "put_right", "Put right"
    NOTHING_FOUND = "nothing", "Looked at, nothing found"
    EXPLAINED = "explained", "Explained, and left as it is"
    OTHERWISE = "otherwise", "Settled otherwise"
