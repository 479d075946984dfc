"""Plain wires of one piano reckoned together: tension each, by key, and in all. See `strings` for sources."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from instruments.calc import strings
from instruments.calc.compass import frequency_hz, note_label

USUAL_LBF = (130, 220)  # of one string: islandpiano.com


@dataclass(frozen=True)
class Wire:
    key: int
    length_mm: Decimal
    diameter_mm: Decimal
    strings: int
    a4_hz: Decimal

    @property
    def hertz(self) -> float:
        return frequency_hz(self.key, float(self.a4_hz))

    @property
    def tension_n(self) -> float:
        return strings.tension_n(float(self.length_mm), float(self.diameter_mm), self.hertz)

    @property
    def tension_kgf(self) -> float:
        return self.tension_n / strings.NEWTONS_PER_KGF

    @property
    def tension_lbf(self) -> float:
        return self.tension_n / strings.NEWTONS_PER_LBF

    @property
    def inharmonicity(self) -> float:
        return strings.inharmonicity(float(self.length_mm), float(self.diameter_mm), self.tension_n)

    @property
    def stiffness_cents(self) -> float:
        return strings.stiffness_cents(self.inharmonicity)

    @property
    def gauge_words(self) -> str:
        """What the size is called in the published tables, or why it has no agreed number."""
        american, metric = (
            strings.gauge_of(float(self.diameter_mm), table) for table in ("american", "metric")
        )
        named = [f"American {american.number:g}"] if american.number else []
        named += [f"metric {metric.number:g}"] if metric.number else []
        named += [american.caution] if american.caution else []
        return ", ".join(named) or "no number in the tables"

    @property
    def remark(self) -> str:
        low, high = USUAL_LBF
        if not low <= self.tension_lbf <= high:
            where = "below" if self.tension_lbf < low else "above"
            return f"{where} the {low} to {high} lbf published of a string: measure it again"
        return ""


@dataclass(frozen=True)
class Sum:
    wires: int
    newtons: float

    @property
    def kgf(self) -> float:
        return self.newtons / strings.NEWTONS_PER_KGF

    @property
    def lbf(self) -> float:
        return self.newtons / strings.NEWTONS_PER_LBF


def summed(wires: Iterable[Wire]) -> Sum:
    """All strings of all keys measured."""
    wires = list(wires)
    return Sum(sum(wire.strings for wire in wires), sum(wire.tension_n * wire.strings for wire in wires))


def reading_problem(key: int, length_mm: Decimal, diameter_mm: Decimal) -> str:
    """One sentence when a plain wire of these measures cannot be in a piano; "" otherwise."""
    name = note_label(key)
    if not 20 <= length_mm <= 2500:
        return f"{name}: a speaking length lies between 20 and 2500 mm."
    if not Decimal("0.5") <= diameter_mm <= 2:
        return f"{name}: plain wire lies between 0.5 and 2 mm. Was it a gauge number, or a covered string?"
    return ""
