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
    PAIR = "pair", "Two photographs, before and after the work"
    KEYS = "keys", "Every key it concerns looked at again"
    FIGURE = "figure", "A measured figure inside its limits"
    TOUCH = "touch", "A weigh-off with every key inside the curve"
    PINS = "pins", "A survey of the pins, every pin inside its limits"
    PITCH = "pitch", "A survey of pitch inside its limits, and how far it has drifted"

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
    Acceptance.PAIR: "closes on a photograph before and one after",
    Acceptance.KEYS: "closes on a second look at each key",
    Acceptance.FIGURE: "closes on a figure",
    Acceptance.TOUCH: "closes on a weigh-off inside the curve",
    Acceptance.PINS: "closes on a survey of the pins",
    Acceptance.PITCH: "closes on a survey of pitch",
}
# These are held to limits; what is measured, and in which unit, is fixed for all but a figure.
WITH_LIMITS = (Acceptance.FIGURE, Acceptance.PINS, Acceptance.PITCH)
MEASURED_AS = {
    Acceptance.PINS: ("lowest pin torque", "N·m"),
    Acceptance.PITCH: ("A4 against the pitch agreed", "cents"),
}


class Concern(TextChoices):
    """What a task means for the money: structure is proven and decided before any is spent on looks."""

    WORK = "work", "Neither of the two"
    STRUCTURE = "structure", "Structure: looked at and decided before money goes into looks"
    LOOKS = "looks", "Looks: waits until the structure is proven"


class Stood(TextChoices):
    """How a matter of structure stood when the owner let work on looks go on."""

    OPEN = "open", "not looked at yet"
    WANTING = "wanting", "found wanting"
