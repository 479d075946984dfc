"""Two reports on one instrument, part by part: what changed, by how much, and what cannot be compared."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from instruments.calc.condition.measures import measured_words
from instruments.calc.exact import plain

GRADES = ("sound", "attend", "repair", "replace")
WORSE, BETTER, OTHERWISE, SAME, UNKNOWN = "worse", "better", "otherwise", "same", "unknown"
CHANGED = {WORSE, BETTER, OTHERWISE}
_ORDER = {WORSE: 0, OTHERWISE: 1, BETTER: 2, UNKNOWN: 3, SAME: 4}


@dataclass(frozen=True)
class Value:
    """A figure with its unit, or an answer in words."""

    measure: str
    name: str
    number: Decimal | None = None
    answer: str = ""
    unit: str = ""

    @property
    def words(self) -> str:
        return measured_words(self.name, self.number, self.answer, self.unit)


@dataclass(frozen=True)
class Line:
    """What one report says of one part; None stands for a part without a line."""

    condition: str
    note: str = ""
    keys: str = ""
    values: tuple[Value, ...] = ()
    signs: tuple[str, ...] = ()

    @property
    def is_examined(self) -> bool:
        return self.condition in GRADES


@dataclass(frozen=True)
class ValuePair:
    """One measure in both reports; `difference` is "+2 mm" or "−1.5 N·m" where both are figures."""

    name: str
    before: str = ""
    after: str = ""
    difference: str = ""

    @property
    def is_changed(self) -> bool:
        return bool(self.before and self.after) and self.before != self.after

    @property
    def is_left_out(self) -> bool:
        """Measured before and not this time: nothing is known to have changed."""
        return bool(self.before) and not self.after


@dataclass(frozen=True)
class PartPair:
    part: str
    before: Line | None
    after: Line | None
    change: str
    values: tuple[ValuePair, ...]

    @property
    def is_changed(self) -> bool:
        return self.change in CHANGED

    @property
    def left_out(self) -> list[ValuePair]:
        """What was measured before and not this time, of a part that was looked at both times."""
        return [] if self.change == UNKNOWN else [value for value in self.values if value.is_left_out]


def compared(parts: Iterable[str], before: dict[str, Line], after: dict[str, Line]) -> list[PartPair]:
    """Every part, changed ones first (worse, otherwise, better), then what cannot be compared, then the rest.

    Within each the parts keep the order given.
    """
    pairs = [_pair(part, before.get(part), after.get(part)) for part in parts]
    return sorted(pairs, key=lambda pair: _ORDER[pair.change])


def _pair(part: str, before: Line | None, after: Line | None) -> PartPair:
    values = _values(before.values if before else (), after.values if after else ())
    return PartPair(part, before, after, _change(before, after, values), values)


def _change(before: Line | None, after: Line | None, values: Sequence[ValuePair]) -> str:
    if not (before and after and before.is_examined and after.is_examined):
        return UNKNOWN
    step = GRADES.index(after.condition) - GRADES.index(before.condition)
    if step:
        return WORSE if step > 0 else BETTER
    is_changed = _says_otherwise(before, after) or any(value.is_changed for value in values)
    return OTHERWISE if is_changed else SAME


def _says_otherwise(before: Line, after: Line) -> bool:
    """Of a part sound both times a word that is only not said again is no change."""
    said, now = ((line.note, line.keys, set(line.signs)) for line in (before, after))
    if after.condition == "sound":
        return any(later and later != earlier for earlier, later in zip(said, now, strict=True))
    return said != now


def _values(before: Sequence[Value], after: Sequence[Value]) -> tuple[ValuePair, ...]:
    """By measure; older figures without one go by their unit."""
    earlier, later = ({_key(value): value for value in values} for values in (before, after))
    return tuple(_value_pair(earlier.get(key), later.get(key)) for key in {**earlier, **later})


def _key(value: Value) -> str:
    return value.measure or f"in {value.unit}"


def _value_pair(before: Value | None, after: Value | None) -> ValuePair:
    named = before or after
    return ValuePair(named.name or "measured", _figure(before), _figure(after), _difference(before, after))


def _figure(value: Value | None) -> str:
    return measured_words("", value.number, value.answer, value.unit) if value else ""


def _difference(before: Value | None, after: Value | None) -> str:
    if not (before and after) or before.unit != after.unit or None in (before.number, after.number):
        return ""
    step = after.number - before.number
    if not step:
        return "no change"
    return f"{'+' if step > 0 else '−'}{plain(abs(step))} {after.unit}"
