"""Plain steel strings: tension, stiffness and wire sizes. Covered strings are refused.

Sources: tension by Mersenne and Taylor (from memory); inharmonicity by H. Fletcher, JASA 36 (1964) 203-209
(from memory); Young's constant by R. W. Young, JASA 1952, as quoted on pianotech, June 2000; gauges from
pianotech, 12 Jun 2003, and two music-wire charts that agree with it from 12 to 22.
"""

import math
from dataclasses import dataclass

STEEL_KG_M3 = 7850.0
STEEL_PA = 2.0e11
NEWTONS_PER_KGF, NEWTONS_PER_LBF = 9.80665, 4.4482216152605
CENTS_PER_B = 1200 / math.log(2) / 2  # of partial number squared, for small B

_MM_PER_INCH = 25.4
_AMERICAN_THOUSANDTHS = {
    **{12: 29, 12.5: 30, 13: 31, 13.5: 32, 14: 33, 14.5: 34, 15: 35, 15.5: 36, 16: 37, 16.5: 38, 17: 39},
    **{17.5: 40, 18: 41, 19: 43, 20: 45, 21: 47, 22: 49, 23: 51},
}
_METRIC_MM = {
    **{12: 0.725, 12.5: 0.750, 13: 0.775, 13.5: 0.800, 14: 0.825, 14.5: 0.850, 15: 0.875, 15.5: 0.900},
    **{16: 0.925, 16.5: 0.950, 17: 0.975, 17.5: 1.000, 18: 1.025, 18.5: 1.050, 19: 1.075, 19.5: 1.100},
    **{20: 1.125, 20.5: 1.150, 21: 1.175, 21.5: 1.200, 22: 1.225, 23: 1.300, 24: 1.400, 25: 1.500, 26: 1.600},
}
# Two published lists for the sizes above 23, in thousandths of an inch: (music-wire chart, piano list).
_DISPUTED_THOUSANDTHS = {24: (55, 53), 25: (59, 55)}


def tension_n(
    length_mm: float,
    diameter_mm: float,
    frequency_hz: float,
    density_kg_m3: float = 7850,
    *,
    covered: bool = False,
) -> float:
    """Tension in newtons of a plain wire of that speaking length, diameter and pitch: pi * rho * (f L d)^2.

    All above 0; ValueError otherwise, and for a covered string.
    """
    if covered:
        raise ValueError(
            "A covered string cannot be reckoned as plain wire: its core and its wrap are needed."
        )
    length_m, diameter_m = _positive(length_mm, "length") / 1000, _positive(diameter_mm, "diameter") / 1000
    speed = _positive(frequency_hz, "pitch") * length_m * diameter_m
    return math.pi * _positive(density_kg_m3, "density") * speed**2


def tension_from_mass_n(length_m: float, mass_kg: float, frequency_hz: float) -> float:
    """Tension of any even string whose sounding part weighs `mass_kg`: 4 m L f^2."""
    return (
        4 * _positive(mass_kg, "mass") * _positive(length_m, "length") * _positive(frequency_hz, "pitch") ** 2
    )


def pitch_from_tension_hz(length_m: float, mass_kg: float, tension: float) -> float:
    """The lowest pitch of a string of that length and mass under a tension in newtons."""
    return math.sqrt(
        _positive(tension, "tension") / (4 * _positive(mass_kg, "mass") * _positive(length_m, "length"))
    )


def inharmonicity(length_mm: float, diameter_mm: float, tension: float, *, covered: bool = False) -> float:
    """Fletcher's B of a plain steel wire: pi^3 E d^4 / (64 T L^2), E = 2.0e11 Pa; no unit."""
    if covered:
        raise ValueError("The inharmonicity of a covered string cannot be reckoned from plain wire.")
    length_m, diameter_m = _positive(length_mm, "length") / 1000, _positive(diameter_mm, "diameter") / 1000
    return math.pi**3 * STEEL_PA * diameter_m**4 / (64 * _positive(tension, "tension") * length_m**2)


def partial_hz(number: int, first_hz: float, b: float) -> float:
    """The pitch of partial `number` of a stiff string whose first partial sounds `first_hz`.

    From f_n = n f0 sqrt(1 + B n^2), where f0 is the pitch the string would have without stiffness.
    """
    return number * _positive(first_hz, "pitch") * math.sqrt((1 + b * number**2) / (1 + b))


def stiffness_cents(b: float) -> float:
    """B as cents per partial number squared."""
    return CENTS_PER_B * b


def young_cents(length_mm: float, diameter_mm: float, frequency_hz: float) -> float:
    """The same by Young's constant, 3.4e13 d^2 / (f^2 L^4) with d and L in cm: a check on the other way."""
    length_cm, diameter_cm = _positive(length_mm, "length") / 10, _positive(diameter_mm, "diameter") / 10
    return 3.4e13 * diameter_cm**2 / (_positive(frequency_hz, "pitch") ** 2 * length_cm**4)


@dataclass(frozen=True, slots=True)
class Gauge:
    """A wire size by its number in one of the tables, and a caution where published tables disagree."""

    number: float | None
    diameter_mm: float
    caution: str = ""


def gauge_of(diameter_mm: float, table: str = "american") -> Gauge:
    """The gauge of a diameter in the "american" or the "metric" table; number None beyond 0.007 mm from all.

    Store the millimetres and show the number: tables differ.
    """
    diameter = _positive(diameter_mm, "diameter")
    sizes = _table(table)
    number = min(sizes, key=lambda number: abs(sizes[number] - diameter))
    found = number if abs(sizes[number] - diameter) <= 0.007 else None
    return Gauge(found, diameter, _disagreement(diameter) if table == "american" else "")


def gauge_diameter_mm(number: float, table: str = "american") -> Gauge:
    """The wire that a gauge number names; ValueError when the table has none or its lists disagree."""
    if table == "american" and number in _DISPUTED_THOUSANDTHS:
        ways = " or ".join(f"{inch / 1000:.3f} in" for inch in _DISPUTED_THOUSANDTHS[number])
        raise ValueError(f"Published lists disagree on gauge {number:g} ({ways}): give the diameter in mm.")
    sizes = _table(table)
    if number not in sizes:
        raise ValueError(f"There is no gauge {number:g} in the {table} table.")
    return Gauge(number, sizes[number])


def _table(table: str) -> dict[float, float]:
    if table == "metric":
        return _METRIC_MM
    if table == "american":
        return {number: inch * _MM_PER_INCH / 1000 for number, inch in _AMERICAN_THOUSANDTHS.items()}
    raise ValueError(f"There is no wire table “{table:.20}”: use american or metric.")


def _disagreement(diameter_mm: float) -> str:
    inch = round(diameter_mm / _MM_PER_INCH * 1000)
    numbers = [f"{number:g}" for number, lists in _DISPUTED_THOUSANDTHS.items() if inch in lists]
    if inch <= 51 or not numbers:
        return "" if inch <= 51 else "Above gauge 23 wire has no agreed numbers: keep the diameter in mm."
    return f"Published lists call {inch / 1000:.3f} in gauge {' or '.join(numbers)}: keep the diameter in mm."


def _positive(value: float, what: str) -> float:
    number = float(value)
    if not number > 0 or math.isinf(number):
        raise ValueError(f"The {what} has to be above 0.")
    return number
