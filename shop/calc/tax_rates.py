"""Rates of tax by their days: the rate of a sale is that of its tax point, never today's.

Source of the rule: VATA 1994 s.6 (time of supply) and Directive 2006/112/EC art 93. Check the law in force.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

from instruments.calc.exact import exact

AREAS = ("uk", "eu")


@dataclass(frozen=True, slots=True)
class DatedRate:
    """`percent` from the first day to the last, both included; without a last day until another follows."""

    percent: Decimal
    since: date
    until: date | None = None
    source: str = ""
    is_own: bool = False  # written down by the shop itself

    @property
    def share(self) -> Decimal:
        """17.5 % as Decimal("0.175")."""
        return self.percent / 100


@dataclass(frozen=True, slots=True)
class Country:
    """A country with its standard rates, oldest first. `checked`: when last read at the source."""

    code: str
    name: str
    area: str
    source: str
    checked: date | None
    rates: tuple[DatedRate, ...]


def rate_on(rates: Iterable[DatedRate], day: date) -> DatedRate | None:
    """The rate in force on a day: the one that began last. Of two from one day the later given counts.

    None before the first, and after the last day of one that nothing follows.
    """
    begun = [rate for rate in rates if rate.since <= day]
    newest = max(enumerate(begun), key=lambda each: (each[1].since, each[0]), default=None)
    if newest is None or (newest[1].until and newest[1].until < day):
        return None
    return newest[1]


def countries_from(table: Mapping) -> tuple[Country, ...]:
    """The table as shipped. ValueError with every fault in it."""
    if faults := rate_faults(table):
        raise ValueError("; ".join(faults))
    return tuple(
        Country(
            code=entry["code"],
            name=entry["name"],
            area=entry["area"],
            source=entry["source"],
            checked=date.fromisoformat(entry["checked"]) if entry["checked"] else None,
            rates=tuple(_rate(row, entry["source"]) for row in entry["rates"]),
        )
        for entry in table["countries"]
    )


def rate_faults(table: Mapping) -> list[str]:
    """What is wrong with a table of rates, in sentences; nothing when it is sound."""
    faults: list[str] = []
    seen: set[str] = set()
    for entry in table.get("countries", ()):
        code = str(entry.get("code", "?"))
        if len(code) != 2 or not code.isupper():
            faults.append(f"{code} is not a country by its two letters.")
        if code in seen:
            faults.append(f"{code} is given twice.")
        seen.add(code)
        faults += _faults_of(code, entry)
    return faults or ([] if seen else ["No country has a rate."])


def _faults_of(code: str, entry: Mapping) -> list[str]:
    faults = [f"{code} has no {name}." for name in ("name", "source", "rates") if not entry.get(name)]
    if entry.get("area") not in AREAS:
        faults.append(f"{code} lies in neither of {', '.join(AREAS)}.")
    try:
        if entry.get("checked"):
            date.fromisoformat(entry["checked"])
        rates = [_rate(row, "") for row in entry.get("rates", ())]
    except (KeyError, TypeError, ValueError) as reason:
        return [*faults, f"{code} has a rate that cannot be read: {reason}."]
    for rate in rates:
        if not 0 <= rate.percent < 100:
            faults.append(f"{code} has a rate of {rate.percent} %.")
        if rate.until and rate.until < rate.since:
            faults.append(f"{code} has a rate that ends before {rate.since}, when it begins.")
    for before, after in pairwise(rates):
        if before.until is None or before.until + timedelta(days=1) != after.since:
            faults.append(f"{code} has no rate, or two, just before {after.since}.")
    return faults


def _rate(row: Mapping, source: str) -> DatedRate:
    until = date.fromisoformat(row["to"]) if row.get("to") else None
    return DatedRate(exact(row["percent"], "rate"), date.fromisoformat(row["from"]), until, source)
