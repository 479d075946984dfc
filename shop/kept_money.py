"""What the shop kept of money paid on holds, home trials and sales that ended: every line, whatever kept it.

For tax nothing of it is entered by itself: see `CAUTION`, which stands above the list.
"""

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet
from django.utils.timezone import localdate

from shop.deduction_states import DeductionKind
from shop.models import CreditEntry, Deduction, GivenBackLater, HoldEnding, Promise, SaleEnding
from shop.report_ground import DAY, MONEY, MOST, TEXT, Between, Report, Row
from shop.states import CreditKind

CAUTION = (
    "None of this stands in the stock book by itself: ask your accountant what each line is for tax. From "
    "memory: in the United Kingdom what is kept of a payment for goods not taken counts as payment for them, "
    "with VAT in it, since 1 March 2019 (Revenue and Customs Brief 13/2018), while what is kept to make good "
    "damage is compensation outside VAT; elsewhere it differs. Check the law in force."
)


@dataclass(frozen=True)
class Kept:
    on: date
    promise: Promise
    what: str
    words: str
    amount_minor: int


def kept_lines(between: Between) -> list[Kept]:
    """The oldest first. What was given back of it later takes it off again, on that day."""
    return sorted(
        [
            *_holds(between),
            *_sales(between),
            *_deductions(between),
            *_run_out(between),
            *_given_back(between),
        ],
        key=lambda line: (line.on, line.promise.pk),
    )


def kept_money(between: Between, on: date) -> Report:
    found = kept_lines(between)
    shown = found[-MOST:]
    rows = [
        Row(
            (str(each.promise.instrument), each.on, each.what, each.words, each.amount_minor),
            each.promise.instrument.get_absolute_url(),
        )
        for each in reversed(shown)
    ]
    columns = (
        ("Instrument", TEXT),
        ("Day", DAY),
        ("From", TEXT),
        ("What for", TEXT),
        ("Kept", MONEY),
    )
    totals = ("All", None, "", "", sum(each.amount_minor for each in found))
    return Report(columns, rows, totals=totals, left_out=len(found) - len(shown))


def _within(rows: QuerySet, name: str, between: Between) -> QuerySet:
    return rows.filter(**{f"{name}__gte": between.since, f"{name}__lte": between.until})


def _holds(between: Between):
    rows = _within(HoldEnding.objects.filter(kept_minor__gt=0), "ended_on", between)
    for each in rows.select_related("promise__instrument", "promise__trial"):
        yield Kept(each.ended_on, each.promise, "Hold", each.kept_reason, each.kept_minor)


def _sales(between: Between):
    rows = _within(SaleEnding.objects.filter(deduction_minor__gt=0), "ended_on", between)
    for each in rows.select_related("sale__promise__instrument"):
        yield Kept(each.ended_on, each.sale.promise, "Sale", each.deduction_for, each.deduction_minor)


def _deductions(between: Between):
    """Kept from the day the promise ended; a later row of the same promise, from its own day."""
    rows = Deduction.objects.standing().exclude(kind=DeductionKind.GIVEN_BACK)
    rows = rows.filter(promise__closed_at__isnull=False)
    for each in rows.select_related("promise__instrument", "promise__trial"):
        trial = getattr(each.promise, "trial", None)
        ended = trial.ended_on if trial and trial.ended_on else localdate(each.promise.closed_at)
        day = max(each.entered_on, ended)
        if between.since <= day <= between.until:
            words = f"{each.get_kind_display()}: {each.words}"
            yield Kept(day, each.promise, each.promise.get_kind_display(), words, each.amount_minor)


def _run_out(between: Between):
    rows = _within(CreditEntry.objects.filter(kind=CreditKind.EXPIRED), "entered_on", between)
    for each in rows.select_related("promise__instrument", "promise__trial"):
        yield Kept(each.entered_on, each.promise, "Credit run out", each.note, -each.amount_minor)


def _given_back(between: Between):
    rows = _within(GivenBackLater.objects.all(), "payment__paid_on", between)
    for each in rows.select_related("payment__promise__instrument"):
        payment = each.payment
        what = f"{payment.promise.get_kind_display()}, given back later"
        yield Kept(payment.paid_on, payment.promise, what, each.reason, payment.amount_minor)
