"""Tuning pins: units of turning force, and the bands a reading falls into.

Sources: conversion from NIST SP 811 (from memory); bands from T. Farrell, pianotech 20 Jul 2006 (60 to 150
lbf·in reasonable) and howardpianoindustries.com, "Pounding loose tuning pins" (80 to 150 a new plank, 50 to
70 aged but holding, about 30 and below failing). Between 30 and 50 nothing is published.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from instruments.calc.exact import Number, exact

NEWTON_METRES_PER = {
    "N·m": Decimal(1),
    "lbf·in": Decimal("0.1129848290276167"),
    "lbf·ft": Decimal("1.3558179483314004"),
    "kgf·cm": Decimal("0.0980665"),
}


_LEAST_AGED = 50


@dataclass(frozen=True, slots=True)
class Band:
    """A range of torque with its name and the sentence that says what it means."""

    name: str
    sentence: str


_FAILING = Band("published as failing", "30 lbf·in and below, by one guide; some pins hold even here.")
_MARGINAL = Band("marginal, judgement", "Between 30 and 50 lbf·in nothing is published: use your judgement.")
_AGED = Band("aged, holds", "50 to 70 lbf·in: aged, but it still holds.")
_GOOD = Band("good", "Above 70 and up to 150 lbf·in: what is published of firm pins.")
_OVER_TIGHT = Band("over-tight", "Above 150 lbf·in: over-tight, hard to set and hard on the pin.")
BANDS = (_FAILING, _MARGINAL, _AGED, _GOOD, _OVER_TIGHT)


def newton_metres(value: Number, unit: str) -> Decimal:
    """A torque in N·m; units "N·m", "lbf·in", "lbf·ft", "kgf·cm". ValueError for others and negatives."""
    return _checked(value) * _per(unit)


def converted(value: Number, unit: str, into: str) -> Decimal:
    """A torque in another of the units; 28 significant digits, round where it is shown."""
    return newton_metres(value, unit) / _per(into)


def torque_band(value: Number, unit: str = "N·m") -> Band:
    """The published band of a reading; read to a hundredth of a lbf·in, as 50 converted and back is 50.

    It is an opinion about one pin, never a verdict on a plank: what counts is whether it stays.
    """
    reading = round(converted(value, unit, "lbf·in"), 2)
    if _LEAST_AGED <= reading <= 150:
        return _AGED if reading <= 70 else _GOOD
    if reading > 150:
        return _OVER_TIGHT
    return _FAILING if reading <= 30 else _MARGINAL


def counts_below(torques_nm: Iterable[Number], lines_nm: Iterable[Number]) -> list[int]:
    """How many readings lie below each of the shop's own lines, all in N·m."""
    readings = [_checked(torque) for torque in torques_nm]
    lines = [_checked(line) for line in lines_nm]
    return [sum(reading < line for reading in readings) for line in lines]


def _checked(value: Number) -> Decimal:
    torque = exact(value, "torque")
    if torque < 0:
        raise ValueError("A torque cannot be negative.")
    return torque


def _per(unit: str) -> Decimal:
    if unit not in NEWTON_METRES_PER:
        raise ValueError(f"“{unit:.20}” is not a unit of torque: use {', '.join(NEWTON_METRES_PER)}.")
    return NEWTON_METRES_PER[unit]
