"""The rates of tax a shop may work with: the shipped table, and what it wrote down itself."""

import json
from datetime import date
from decimal import Decimal
from functools import cache

from django.conf import settings
from django.db.models import QuerySet

from instruments.models.together import asking
from instruments.models.worded import ASKED, of_one
from instruments.problems import Refused
from shop.calc.tax_rates import Country, DatedRate, countries_from, rate_on
from shop.models import ShopProfile, TaxRate
from shop.states import TaxKind, TaxScheme

RATES_FILE = settings.BASE_DIR / "fixtures" / "tax_rates.json"


class UnknownRate(Refused):
    """Nobody wrote down the rate of that day."""


def rate_table() -> dict:
    return json.loads(RATES_FILE.read_text(encoding="utf-8"))


@cache
def countries() -> tuple[Country, ...]:
    return countries_from(rate_table())


def country_of(profile: ShopProfile) -> Country | None:
    return next((each for each in countries() if each.code == profile.tax_country), None)


def kind_of(profile: ShopProfile) -> TaxKind:
    return TaxKind.SALES_TAX if profile.tax_scheme == TaxScheme.SALES_TAX else TaxKind.VAT


@asking
def rates_of(profile: ShopProfile):
    """A list of `DatedRate`, oldest first. Where both begin on one day the shop's own counts."""
    kind, country = kind_of(profile), country_of(profile)
    shipped = country.rates if country and kind == TaxKind.VAT else ()
    (rows,) = yield (_own_rates(profile.tax_country),)
    own = [
        DatedRate(row.percent, row.starts_on, source=row.source, is_own=True)
        for row in rows
        if row.kind == kind
    ]
    return sorted([*shipped, *own], key=lambda rate: rate.since)


@of_one
def _own_rates() -> QuerySet[TaxRate]:
    return TaxRate.objects.filter(country=str(ASKED))


@asking
def tax_rate_on(profile: ShopProfile, day: date):
    """The share that is taxed on a day, such as Decimal("0.20"); 0 for a shop that is not registered."""
    if profile.tax_scheme == TaxScheme.NONE:
        return Decimal(0)
    rate = rate_on((yield from rates_of.later(profile)), day)
    if rate is None:
        name = kind_of(profile).label
        raise UnknownRate(f"No rate of {name} is known for {day:%-d %B %Y}. Write it down under Rates.")
    return rate.share
