"""Rates by their days. UK days: Tax Guide 2013-2014 ch. 23 and accountancymanagers.co.uk/vat-rates-new (both
tell the Finance Acts again); EU rates: CHECKS 6 test 15, the days from memory."""

import copy
from datetime import date
from decimal import Decimal

import pytest

from shop.calc.tax_rates import DatedRate, countries_from, rate_faults, rate_on
from shop.tax_rates import countries, rate_table


def rates_of(code):
    return next(each for each in countries() if each.code == code).rates


@pytest.mark.parametrize(
    ("code", "day", "percent"),
    [
        ("GB", "1991-03-31", "15"),
        ("GB", "1991-04-01", "17.5"),
        ("GB", "2008-12-01", "15"),
        ("GB", "2009-12-31", "15"),
        ("GB", "2010-01-01", "17.5"),
        ("GB", "2011-01-03", "17.5"),
        ("GB", "2011-01-04", "20"),
        ("DE", "2020-12-31", "16"),
        ("DE", "2026-05-01", "19"),
        ("FR", "2026-05-01", "20"),
        ("NL", "2026-05-01", "21"),
        ("IT", "2026-05-01", "22"),
        ("IE", "2026-05-01", "23"),
        ("DK", "2026-05-01", "25"),
    ],
)
def test_the_rate_is_that_of_the_day(code, day, percent):
    assert rate_on(rates_of(code), date.fromisoformat(day)).percent == Decimal(percent)


def test_before_the_first_rate_none_is_known():
    assert rate_on(rates_of("GB"), date(1973, 3, 31)) is None


def test_after_the_last_day_of_one_that_nothing_follows_none_is_known():
    only = DatedRate(Decimal(9), date(2020, 1, 1), date(2020, 12, 31))
    assert rate_on([only], date(2020, 12, 31)) == only
    assert rate_on([only], date(2021, 1, 1)) is None


def test_of_two_from_one_day_the_later_given_counts():
    day = date(2026, 1, 1)
    rates = [DatedRate(Decimal(20), day), DatedRate(Decimal(21), day, is_own=True)]
    assert rate_on(rates, day).is_own


def test_the_shipped_table_is_sound():
    assert rate_faults(rate_table()) == []


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda entry: entry.update(source=""), "has no source"),
        (lambda entry: entry.update(area="mars"), "lies in neither"),
        (lambda entry: entry["rates"].pop(2), "just before"),
        (lambda entry: entry["rates"][0].update(percent="120"), "a rate of 120 %"),
        (lambda entry: entry["rates"][0].update(to="1970-01-01"), "ends before"),
        (lambda entry: entry["rates"][0].update({"from": "spring"}), "cannot be read"),
        (lambda entry: entry.update(code="uk"), "two letters"),
    ],
)
def test_what_is_wrong_with_a_table_is_said(change, fault):
    table = copy.deepcopy(rate_table())
    change(table["countries"][0])
    assert any(fault in each for each in rate_faults(table))
    with pytest.raises(ValueError, match=fault):
        countries_from(table)
