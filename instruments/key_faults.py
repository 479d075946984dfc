"""What can be wrong at one key, in the trade's words, and the sign that stands for it on a drawn keyboard."""

from dataclasses import dataclass

from django.db.models import TextChoices


class FaultKind(TextChoices):
    """Where the fault sits; each kind has a shape and a colour of its own."""

    KEY = "key", "The key"
    ACTION = "action", "The action"
    STRING = "string", "Strings and tone"
    COVERING = "covering", "The covering"


class KeyFault(TextChoices):
    STICKS = "sticks", "Sticks"
    SLOW_FALL = "slow_fall", "Slow to fall"
    RATTLES = "rattles", "Rattles"
    LEAD = "lead", "Loose or swollen lead"
    BROKEN = "broken", "Broken key"
    SLOW_RETURN = "slow_return", "Slow to return"
    LOST_MOTION = "lost_motion", "Lost motion"
    BLOCKS = "blocks", "Blocks"
    STRIKES_TWICE = "strikes_twice", "Strikes twice"
    NO_DAMPING = "no_damping", "No damping"
    BUZZES = "buzzes", "Buzzes"
    FALSE_BEATS = "false_beats", "False beats"
    DEAD = "dead", "Dead or tubby"
    NO_STRING = "no_string", "String missing"
    LOOSE_PIN = "loose_pin", "Loose pin"
    CHIPPED = "chipped", "Chipped covering"
    LOOSE_COVERING = "loose_cover", "Loose covering"
    NO_COVERING = "no_covering", "Missing covering"


class ClearedBy(TextChoices):
    WORK = "work", "by work"
    RECHECK = "recheck", "on a second look"


@dataclass(frozen=True)
class FaultSign:
    kind: FaultKind
    letter: str


# The letters are ours: no two faults share one, so that a sign is read without its colour.
SIGNS = {
    KeyFault.STICKS: FaultSign(FaultKind.KEY, "S"),
    KeyFault.SLOW_FALL: FaultSign(FaultKind.KEY, "F"),
    KeyFault.RATTLES: FaultSign(FaultKind.KEY, "R"),
    KeyFault.LEAD: FaultSign(FaultKind.KEY, "W"),
    KeyFault.BROKEN: FaultSign(FaultKind.KEY, "X"),
    KeyFault.SLOW_RETURN: FaultSign(FaultKind.ACTION, "T"),
    KeyFault.LOST_MOTION: FaultSign(FaultKind.ACTION, "M"),
    KeyFault.BLOCKS: FaultSign(FaultKind.ACTION, "K"),
    KeyFault.STRIKES_TWICE: FaultSign(FaultKind.ACTION, "2"),
    KeyFault.NO_DAMPING: FaultSign(FaultKind.ACTION, "D"),
    KeyFault.BUZZES: FaultSign(FaultKind.STRING, "Z"),
    KeyFault.FALSE_BEATS: FaultSign(FaultKind.STRING, "B"),
    KeyFault.DEAD: FaultSign(FaultKind.STRING, "E"),
    KeyFault.NO_STRING: FaultSign(FaultKind.STRING, "N"),
    KeyFault.LOOSE_PIN: FaultSign(FaultKind.STRING, "P"),
    KeyFault.CHIPPED: FaultSign(FaultKind.COVERING, "C"),
    KeyFault.LOOSE_COVERING: FaultSign(FaultKind.COVERING, "L"),
    KeyFault.NO_COVERING: FaultSign(FaultKind.COVERING, "G"),
}
FAULTS_IN_ORDER = tuple(SIGNS)
