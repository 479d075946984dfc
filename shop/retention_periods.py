"""How long words about people stay without anybody asking: fixtures/retention.json with the shop's terms."""

import json
from dataclasses import dataclass
from datetime import date

from django.conf import settings

from shop.calc.true_costs import months_later
from shop.models import ShopProfile

PERIODS_FILE = settings.BASE_DIR / "fixtures" / "retention.json"
MONTHS_IN = {"months": 1, "years": 12}
LONGEST_MONTHS = 360


@dataclass(frozen=True)
class Period:
    """One kind of words: from when they are counted, for how long they stay, and what happens then."""

    code: str
    what: str
    counted_from: str
    length: int
    unit: str
    then: str
    source: str
    is_in_the_terms: bool

    @property
    def words(self) -> str:
        return f"{self.length} {self.unit if self.length != 1 else self.unit.removesuffix('s')}"

    @property
    def months(self) -> int:
        return self.length * MONTHS_IN[self.unit]

    def is_over(self, since: date, on: date) -> bool:
        return months_later(since, self.months) <= on


def retention_periods(shop: ShopProfile | None = None) -> dict[str, Period]:
    """By their code, in the order of the file; a length that stands in the terms is taken from there."""
    shop = shop or ShopProfile.current()
    read = json.loads(PERIODS_FILE.read_text())["periods"]
    return {line["code"]: _period(line, shop) for line in read}


def _period(line: dict, shop: ShopProfile) -> Period:
    setting = line.get("setting")
    said = ("code", "what", "counted_from", "unit", "then", "source")
    return Period(
        **{name: line[name] for name in said},
        length=getattr(shop, setting) if setting else line["length"],
        is_in_the_terms=bool(setting),
    )


def period_faults() -> list[str]:
    """What is wrong with the file, each in a sentence; nothing when it can be relied on."""
    faults = []
    for code, period in retention_periods(ShopProfile()).items():
        if not isinstance(period.length, int) or not 0 < period.months <= LONGEST_MONTHS:
            faults.append(f"{code}: {period.words} is no length between a month and thirty years.")
        faults += [
            f"{code}: it does not say {name.replace('_', ' ')}."
            for name in ("what", "counted_from", "then", "source")
            if not getattr(period, name).strip()
        ]
    return faults
