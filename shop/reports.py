"""What the books tell by instrument, maker and stage: bounded tables with a plain picture, for any days."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.urls import reverse

from instruments.models import Instrument
from shop.calc.stages import STAGES
from shop.costs import TrueCost, true_costs
from shop.kept_money import CAUTION, kept_money
from shop.report_ground import (
    DAY,
    MONEY,
    MOST_BARS,
    NUMBER,
    PERCENT,
    TEXT,
    Bar,
    Between,
    Report,
    Row,
    bounded,
    sold_with_costs,
    stages_of,
    sums_of,
    unsold,
)


@dataclass(frozen=True)
class Kind:
    title: str
    lede: str
    build: Callable[[Between, date], Report]
    range_is: str
    caution: str = ""


def ageing(between: Between, on: date) -> Report:
    found, left = bounded(unsold(between))
    stages = stages_of(found, on=on)
    order = sorted(found, key=lambda each: (-stages[each.pk].total, each.pk))
    rows = [
        Row(
            (
                _name(each),
                STAGES[stages[each.pk].stage],
                stages[each.pk].total,
                *stages[each.pk].days.values(),
            ),
            _money_page(each),
        )
        for each in order
    ]
    bars = [Bar(_name(each), stages[each.pk].total) for each in order[:MOST_BARS]]
    columns = (
        ("Instrument", TEXT),
        ("Stands at", TEXT),
        ("Days in stock", NUMBER),
        *((words, NUMBER) for words in STAGES.values()),
    )
    return Report(columns, rows, bars, "Days in stock, the longest first", left_out=left)


def by_instrument(between: Between, on: date) -> Report:
    found, left = sold_with_costs(between, on)
    rows = [
        Row(
            (
                _name(each),
                cost.on_file.sale.sold_on,
                cost.price_minor,
                cost.tax_minor,
                cost.total_minor,
                cost.margin_minor,
                cost.margin_percent,
            ),
            _money_page(each),
        )
        for each, cost in found
    ]
    columns = (
        ("Instrument", TEXT),
        ("Sold on", DAY),
        ("Price", MONEY),
        ("Tax in it", MONEY),
        ("True cost", MONEY),
        ("Profit", MONEY),
        ("Of the price", PERCENT),
    )
    sums = sums_of(cost for _, cost in found)
    totals = ("All", None, sums.price, sums.tax, sums.cost, sums.profit, sums.percent)
    bars = [
        Bar(_name(each), cost.margin_minor, is_money=True)
        for each, cost in found[:MOST_BARS]
        if cost.margin_minor is not None
    ]
    return Report(columns, rows, bars, "Profit of each, the highest first", totals, left)


def by_maker(between: Between, on: date) -> Report:
    found, left = sold_with_costs(between, on)
    makers: dict[str, list[TrueCost]] = defaultdict(list)
    for each, cost in found:
        makers[each.maker_name].append(cost)
    summed = sorted(
        ((name, len(costs), sums_of(costs)) for name, costs in makers.items()),
        key=lambda each: (-each[2].profit, each[0]),
    )
    rows = [
        Row((name, count, sums.price, sums.tax, sums.cost, sums.profit, sums.percent))
        for name, count, sums in summed
    ]
    columns = (
        ("Maker", TEXT),
        ("Sold", NUMBER),
        ("Price", MONEY),
        ("Tax in it", MONEY),
        ("True cost", MONEY),
        ("Profit", MONEY),
        ("Of the price", PERCENT),
    )
    total = sums_of(cost for _, cost in found)
    totals = ("All", len(found), total.price, total.tax, total.cost, total.profit, total.percent)
    bars = [Bar(name, sums.profit, is_money=True) for name, _, sums in summed[:MOST_BARS]]
    return Report(columns, rows, bars, "Profit by maker", totals, left)


def hours_and_margin(between: Between, on: date) -> Report:
    found, left = sold_with_costs(between, on)
    rows, bars = [], []
    for each, cost in found:
        hours, before_work = (
            _hours(cost.minutes),
            None if cost.margin_minor is None else cost.margin_minor + cost.labour_minor,
        )
        per_hour = (
            round(before_work * 60 / Decimal(cost.minutes))
            if cost.minutes > 0 and before_work is not None
            else None
        )
        rows.append(
            Row(
                (_name(each), hours, cost.labour_minor, cost.margin_minor, before_work, per_hour),
                _money_page(each),
            )
        )
        if per_hour is not None:
            bars.append(Bar(f"{_name(each)}, {hours} h", per_hour, is_money=True))
    columns = (
        ("Instrument", TEXT),
        ("Bench hours", NUMBER),
        ("Labour", MONEY),
        ("Profit", MONEY),
        ("Profit and labour", MONEY),
        ("For each hour", MONEY),
    )
    bars.sort(key=lambda bar: -bar.amount)
    return Report(
        columns,
        rows,
        bars[:MOST_BARS],
        "What each hour at the bench brought, labour and profit together",
        left_out=left,
    )


def tied_up(between: Between, on: date) -> Report:
    found, left = bounded(unsold(between))
    costs = true_costs(found, on=on)
    order = sorted(found, key=lambda each: (-costs[each.pk].total_minor, each.pk))
    rows = []
    for each in order:
        cost = costs[each.pk]
        rows.append(
            Row(
                (
                    _name(each),
                    cost.purchase_minor,
                    cost.total_minor,
                    cost.to_come_minor,
                    cost.floor_minor,
                    cost.price_minor,
                ),
                _money_page(each),
            )
        )
    columns = (
        ("Instrument", TEXT),
        ("Purchase", MONEY),
        ("Spent so far", MONEY),
        ("Still to come", MONEY),
        ("Price floor", MONEY),
        ("Asked", MONEY),
    )
    every = [costs[each.pk] for each in found]
    totals = (
        "All",
        sum(each.purchase_minor or 0 for each in every),
        sum(each.total_minor for each in every),
        sum(each.to_come_minor for each in every),
        None,
        sum(each.price_minor or 0 for each in every),
    )
    bars = [Bar(_name(each), costs[each.pk].total_minor, is_money=True) for each in order[:MOST_BARS]]
    return Report(columns, rows, bars, "Spent so far, the most first", totals, left)


def by_stage(between: Between, on: date) -> Report:
    found, left = bounded(unsold(between))
    stages, costs = stages_of(found, on=on), true_costs(found, on=on)
    rows, bars = [], []
    for stage, words in STAGES.items():
        here = [each.pk for each in found if stages[each.pk].stage == stage]
        spent = sum(costs[key].total_minor for key in here)
        days = sum(stages[key].days[stage] for key in here)
        rows.append(
            Row(
                (
                    words,
                    len(here),
                    spent,
                    sum(costs[key].price_minor or 0 for key in here),
                    days // len(here) if here else None,
                )
            )
        )
        bars.append(Bar(f"{words}, {len(here)}", spent, is_money=True))
    columns = (
        ("Stage", TEXT),
        ("Instruments", NUMBER),
        ("Spent on them", MONEY),
        ("Asked for them", MONEY),
        ("Days there, on average", NUMBER),
    )
    totals = (
        "All",
        len(found),
        sum(each.total_minor for each in costs.values()),
        sum(each.price_minor or 0 for each in costs.values()),
        None,
    )
    return Report(columns, rows, bars, "Money that each stage holds", totals, left)


CAME, SOLD = "an instrument came to us", "an instrument was sold"
REPORTS = {
    "ageing": Kind(
        "Ageing stock",
        "How long each stands here, and where its time went.",
        ageing,
        CAME,
    ),
    "instruments": Kind(
        "Profit by instrument",
        "What each sale left after tax and true cost.",
        by_instrument,
        SOLD,
    ),
    "makers": Kind("Profit by maker", "The same sales, put together by maker.", by_maker, SOLD),
    "hours": Kind(
        "Hours against margin",
        "What the bench gave to each sale, and what came of it.",
        hours_and_margin,
        SOLD,
    ),
    "tied-up": Kind("Money tied up", "What the stock of today has cost so far.", tied_up, CAME),
    "stages": Kind(
        "What each stage holds",
        "Where the stock of today stands, and with how much money in it.",
        by_stage,
        CAME,
    ),
    "kept": Kind(
        "Kept money",
        "What was kept of deposits and payments when a hold, a home trial or a sale ended.",
        kept_money,
        "a promise ended, or the money was given back after all",
        CAUTION,
    ),
}


def _hours(minutes: int) -> Decimal:
    return (Decimal(minutes) / 60).quantize(Decimal("0.1"))


def _name(each: Instrument) -> str:
    return str(each)


def _money_page(each: Instrument) -> str:
    return reverse("shop:instrument_money", args=[each.stock_number])
