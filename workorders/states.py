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


class Acceptance(TextChoices):
    """What must be shown before an item counts as done."""

    NOTE = "note", "Say what was done"
    PHOTO = "photo", "A photograph after the work"
    FIGURE = "figure", "A measured figure inside its limits"
    TOUCH = "touch", "A weigh-off with every key inside the curve"
