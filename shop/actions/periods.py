"""Closing a period of the books, and writing down a rate of tax."""

from datetime import date

from django.db import transaction

from instruments.actions.numbers import last_in
from instruments.problems import refuse_if_blocked
from shop.actions.stock_book import ONE_SERIES, SERIES
from shop.book_problems import closing_problems, dating_problems
from shop.models import BookPeriod, ShopProfile, TaxRate
from shop.period_figures import figures_between
from shop.tax_rates import kind_of


@transaction.atomic
def close_period(*, starts_on: date, ends_on: date, by, on: date) -> BookPeriod:
    """Close it with its sums. Held first is the series of numbers, which every new line takes from."""
    last_line = last_in(SERIES, year=ONE_SERIES)
    refuse_if_blocked(closing_problems(starts_on, ends_on, today=on))
    return BookPeriod.objects.create(
        starts_on=starts_on,
        ends_on=ends_on,
        last_line=last_line,
        figures=figures_between(starts_on, ends_on).plain(),
        closed_by=by,
    )


@transaction.atomic
def add_tax_rate(*, percent, starts_on: date, source: str, by) -> TaxRate:
    """A rate of the shop's own, for its country and scheme; lines that are written already keep theirs."""
    last_in(SERIES, year=ONE_SERIES)
    refuse_if_blocked(dating_problems(starts_on))
    profile = ShopProfile.current()
    return TaxRate.objects.create(
        country=profile.tax_country,
        kind=kind_of(profile),
        percent=percent,
        starts_on=starts_on,
        source=source,
        recorded_by=by,
    )
