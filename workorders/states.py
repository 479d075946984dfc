"""States of work, and what closes an item."""

from django.db.models import TextChoices


class OrderState(TextChoices):
    OPEN = "open", "Open"
    READY = "ready", "Ready"
    ABANDONED = "abandoned", "Given up"


class ItemState(TextChoices):
    OPEN = "open", "Open"
    DONE = "done", "Done"
    LEFT = "left", "Left as it is"


class PhotoMoment(TextChoices):
    """Which side of the work a photograph shows."""

    BEFORE = "before", "Before the work"
    AFTER = "after", "After the work"


class Acceptance(TextChoices):
    """What must be shown before an item counts as done."""

    NOTE = "note", "Say what was done"
    PHOTO = "photo", "A photograph after the work"
    FIGURE = "figure", "A measured figure inside its limits"
    TOUCH = "touch", "A weigh-off with every key inside the curve"

    @property
    def closes_on(self) -> str:
        """What closes it, in a few words for a list."""
        return CLOSES_ON[self]


class AwayKind(TextChoices):
    """Why somebody is not at the bench; only they and those who run the bench are told."""

    HOLIDAY = "holiday", "Holiday"
    ILLNESS = "illness", "Illness"
    OTHER = "other", "Something else"


CLOSES_ON = {
    Acceptance.NOTE: "closes on a word on what was done",
    Acceptance.PHOTO: "closes on a photograph",
    Acceptance.FIGURE: "closes on a figure",
    Acceptance.TOUCH: "closes on a weigh-off inside the curve",
}
