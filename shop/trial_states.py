"""States of what is written down while a home trial runs."""

from django.db.models import TextChoices


class Leg(TextChoices):
    OUT = "out", "To the customer"
    BACK = "back", "Back to us"


class Heating(TextChoices):
    """How the room is heated; what dries a soundboard is named in calc/home_air."""

    RADIATORS = "radiators", "Radiators"
    UNDERFLOOR = "underfloor", "Underfloor"
    WARM_AIR = "warm_air", "Warm air"
    STOVE = "stove", "A stove or an open fire"
    ELECTRIC = "electric", "Electric heaters"
    NONE = "none", "Not heated"
    NOT_KNOWN = "not_known", "Not known"
