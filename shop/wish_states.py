"""What somebody who looks for a piano can say of it."""

from django.db.models import TextChoices


class TouchWish(TextChoices):
    """Against the shop's usual touch, by the mean down-weight of a weigh-off."""

    LIGHTER = "lighter", "Lighter than our usual"
    USUAL = "usual", "Our usual"
    HEAVIER = "heavier", "Heavier than our usual"


class WishPoint(TextChoices):
    """What may be said to be so and not otherwise."""

    MAKER = "maker", "The maker"
    KIND = "kind", "The kind"
    SIZE = "size", "The size"
    KEYS = "keys", "The keys"
    BUDGET = "budget", "The budget"
    TOUCH = "touch", "The touch"
    FINISH = "finish", "The finish"
    DAY = "day", "The latest day"


def usual_must() -> list[str]:
    """Where nobody said otherwise: what a piano is and costs, and not how it feels or looks."""
    return [WishPoint.MAKER, WishPoint.KIND, WishPoint.SIZE, WishPoint.KEYS, WishPoint.BUDGET]


class TellingState(TextChoices):
    """What became of telling somebody of an instrument. What was begun and not ended never goes twice."""

    BEGUN = "begun", "Being sent"
    SENT = "sent", "Told by e-mail"
    FAILED = "failed", "It did not go"
    BY_HAND = "by_hand", "Told another way"
    LEFT = "left", "Not told of this one"
