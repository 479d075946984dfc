"""A weigh-off judged: which keys are out of the curve, why, and what has to be done first."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from instruments.calc.compass import count_word, is_sharp, note_label
from instruments.calc.exact import Number, exact
from instruments.calc.touchweight.formulas import (
    balance_weight_g,
    friction_g,
    target_g,
    weight,
    weight_pair,
)

HIGH_FRICTION_G = Decimal(15)  # grand, whole action (published D - U of 25 to 30 g); only a hint on uprights
SLOW_RETURN_G = Decimal(20)  # least up-weight for a sure return; common practice, no source
USUAL_FRICTION_G = Decimal(12)  # mean of a whole grand action, D. Stanwood, pianotech 11 Dec 2003
_MOST = Decimal("0.8")  # from here on "nearly all", our own word

_TELLS = {
    "stuck": "they do not return by themselves",
    "friction": "high down, low up. That is friction",
    "weight": "down and up both high. That is weight",
    "light": "low down. They are too light",
    "unknown": "the up-weight is missing, so nothing tells why",
}
_SHARE_WORDS = {
    "stuck": "not returning",
    "friction": "from friction",
    "weight": "from weight",
    "light": "too light",
    "unknown": "without an up-weight to tell why",
}
_DO_FIRST = {
    "stuck": "Free the keys that do not return: ease, look at springs and centres; then weigh again.",
    "friction": "Ease, lubricate or re-centre first, then weigh again. No lead before friction is right.",
    "unknown": "Take the missing up-weights first: without them nobody can tell friction from weight.",
    "weight": "Friction is right. Check springs and hammers, then lead the heavy keys.",
    "light": "Friction is right. Check springs and hammers, then take lead out of the light keys.",
    "": "Nothing has to be done.",
}


@dataclass(frozen=True, slots=True)
class Reading:
    """What was weighed on one key; the up-weight is None when it was not taken, 0 when it does not return."""

    key: int
    down_g: Number
    up_g: Number | None = None


@dataclass(frozen=True, slots=True)
class KeyVerdict:
    """One key against the curve.

    `cause` is "" inside, else "friction", "weight", "light", "stuck" or "unknown".

    A key that does not return by itself is "stuck" whatever sinks it: it has neither friction nor balance.
    """

    key: int
    down_g: Decimal
    up_g: Decimal | None
    target_g: Decimal
    deviation_g: Decimal
    friction_g: Decimal | None
    balance_g: Decimal | None
    inside: bool
    cause: str
    friction_high: bool
    slow_return: bool


@dataclass(frozen=True, slots=True)
class Summary:
    """The whole weigh-off: how many keys are out and why, and what comes first."""

    weighed: int
    out: int
    share_inside: Decimal
    largest_step_g: Decimal | None
    step_keys: tuple[int, int] | None
    naturals_out: int
    sharps_out: int
    naturals_mean_g: Decimal | None
    sharps_mean_g: Decimal | None
    friction_mean_g: Decimal | None
    balance_mean_g: Decimal | None
    sentence: str
    do_first: str


@dataclass(frozen=True, slots=True)
class WeighOff:
    keys: tuple[KeyVerdict, ...]
    summary: Summary


def verdict(
    readings: Iterable[Reading],
    *,
    first_key: int,
    key_count: int,
    tolerance_g: Number = 2,
    bass_g: Number = 52,
    middle_g: Number = 50,
    treble_g: Number = 48,
    high_friction_g: Number = HIGH_FRICTION_G,
) -> WeighOff:
    """Each key against the curve and why it is out, lowest key first; and all of them in a summary.

    A high down-weight is "friction" when the friction lies above `high_friction_g`, otherwise "weight"; a low
    one is "light". Only the down-weight decides what is inside: friction limits are hints. ValueError names
    the key whose reading cannot be.
    """
    tolerance, limit = exact(tolerance_g, "tolerance"), exact(high_friction_g, "friction limit")
    judged: dict[int, KeyVerdict] = {}
    for reading in sorted(readings, key=lambda reading: reading.key):
        if reading.key in judged:
            raise ValueError(f"{note_label(reading.key)} was given twice: give its latest reading only.")
        position = reading.key - first_key + 1
        target = target_g(position, key_count, bass_g=bass_g, middle_g=middle_g, treble_g=treble_g)
        judged[reading.key] = _judge(reading, target, tolerance, limit)
    keys = tuple(judged.values())
    return WeighOff(keys, summary_of(keys))


def _judge(reading: Reading, target: Decimal, tolerance: Decimal, limit: Decimal) -> KeyVerdict:
    up = friction = balance = None
    try:
        down = weight(reading.down_g, "down-weight")
        if reading.up_g is not None:
            down, up = weight_pair(down, reading.up_g)
        if up:
            friction, balance = friction_g(down, up), balance_weight_g(down, up)
    except ValueError as reason:
        raise ValueError(f"{note_label(reading.key)}: {reason}") from None
    deviation = down - target
    inside = abs(deviation) <= tolerance and up != 0
    friction_high = friction is not None and friction > limit
    return KeyVerdict(
        key=reading.key,
        down_g=down,
        up_g=up,
        target_g=target,
        deviation_g=deviation,
        friction_g=friction,
        balance_g=balance,
        inside=inside,
        cause="" if inside else "stuck" if up == 0 else _cause(deviation, target, friction, balance, limit),
        friction_high=friction_high,
        slow_return=up is not None and up < SLOW_RETURN_G,
    )


def _cause(
    deviation: Decimal, target: Decimal, friction: Decimal | None, balance: Decimal | None, limit: Decimal
) -> str:
    """Of a key too heavy: friction where it is high, or where it adds more than the balance weight does."""
    if friction is None or balance is None:
        return "unknown"
    if deviation < 0:
        return "light"
    by_friction, by_weight = friction - USUAL_FRICTION_G, balance - (target - USUAL_FRICTION_G)
    return "friction" if friction > limit or by_friction > by_weight else "weight"


def summary_of(keys: Sequence[KeyVerdict]) -> Summary:
    """What some judged keys, lowest first, amount to; means to a tenth of a gram, None without a key."""
    out = [key for key in keys if not key.inside]
    steps = [(abs(high.down_g - low.down_g), low.key, high.key) for low, high in pairwise(keys)]
    steps = [step for step in steps if step[2] - step[1] == 1]
    step = max(steps, key=lambda step: step[0], default=(None, 0, 0))
    sharps_out = sum(is_sharp(key.key) for key in out)
    return Summary(
        weighed=len(keys),
        out=len(out),
        share_inside=Decimal(len(keys) - len(out)) / len(keys) if keys else Decimal(0),
        largest_step_g=step[0],
        step_keys=step[1:] if steps else None,
        naturals_out=len(out) - sharps_out,
        sharps_out=sharps_out,
        naturals_mean_g=_mean([key.down_g for key in keys if not is_sharp(key.key)]),
        sharps_mean_g=_mean([key.down_g for key in keys if is_sharp(key.key)]),
        friction_mean_g=_mean([key.friction_g for key in keys if key.friction_g is not None]),
        balance_mean_g=_mean([key.balance_g for key in keys if key.balance_g is not None]),
        sentence=_sentence(keys, out, sharps_out),
        do_first=_do_first(keys, out),
    )


def _mean(weights: Sequence[Decimal]) -> Decimal | None:
    """To a tenth of a gram, which is finer than anybody weighs."""
    return round(sum(weights) / len(weights), 1) if weights else None


def _sentence(keys: Sequence[KeyVerdict], out: Sequence[KeyVerdict], sharps_out: int) -> str:
    if not keys:
        return "Nothing has been weighed yet."
    if not out:
        high = sum(key.friction_high for key in keys)
        rubbing = f" {_keys(high)} inside with high friction." if high else ""
        weighed = "The one key weighed is" if len(keys) == 1 else f"All {len(keys)} keys weighed are"
        return f"{weighed} inside the curve.{rubbing}"
    return f"{_keys(len(out))} out{_colour(len(out), sharps_out)}: {_why(out)}."


def _keys(count: int) -> str:
    return f"{count_word(count).capitalize()} key{' is' if count == 1 else 's are'}"


def _colour(out: int, sharps_out: int) -> str:
    """Named only where it tells something: naturals are six keys in ten anyway."""
    if out < 3:
        return ""
    for kind, count in (("sharps", sharps_out), ("naturals", out - sharps_out)):
        if count == out:
            return f", all {kind}"
        if count >= out * _MOST and kind == "sharps":
            return f", nearly all {kind}"
    return ""


def _why(out: Sequence[KeyVerdict]) -> str:
    causes = Counter(key.cause for key in out)
    cause, count = causes.most_common(1)[0]
    if count == len(out) == 1:
        one = _TELLS[cause].replace("They are", "It is")
        return one.replace("they do not return by themselves", "it does not return by itself")
    if count == len(out):
        return _TELLS[cause]
    if count >= len(out) * _MOST:
        return f"{_TELLS[cause]}, in {count} of them"
    return ", ".join(f"{causes[cause]} {words}" for cause, words in _SHARE_WORDS.items() if causes[cause])


def _do_first(keys: Sequence[KeyVerdict], out: Sequence[KeyVerdict]) -> str:
    """Friction comes before everything, also where it hides behind a right or light down-weight."""
    causes = {key.cause for key in out}
    if "stuck" not in causes and any(key.friction_high for key in keys):
        return _DO_FIRST["friction"]
    return _DO_FIRST[next((cause for cause in _DO_FIRST if cause in causes), "")]
