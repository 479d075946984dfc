"""One person's account: every row of the ledger in the order it was written, and what stands after each."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db.models import Sum
from django.utils.timezone import localdate

from shop.actions.ledger import credit_of
from shop.calc.running import standing_after
from shop.models import CreditEntry, Payment, Person, Promise
from shop.states import CreditKind, PaymentMethod, PaymentPurpose, PromiseKind, PromiseOutcome
from workorders.currency import in_words

ENTRY_VERBS = {
    CreditKind.FROM_PROMISE: "Into credit from",
    CreditKind.TO_PROMISE: "Credit used for",
    CreditKind.PAID_OUT: "Credit paid out, from",
}


@dataclass(frozen=True)
class AccountLine:
    on: date
    words: str
    paid_minor: int | None
    credit_minor: int | None
    credit_after_minor: int


def account_of(person: Person, limit: int = 200) -> list[AccountLine]:
    """Of payments and credit entries the newest, oldest first, with the credit after each line."""
    beside = ("promise__instrument", "commission__order__instrument")
    payments = person.payments.select_related(*beside).order_by("-id")[:limit]
    entries = person.credit_entries.select_related("promise__instrument").order_by("-id")[:limit]
    rows = sorted(
        [*payments, *entries], key=lambda row: (row.recorded_at, isinstance(row, CreditEntry), row.pk)
    )
    lines, credit = [], credit_of(person)
    for row in reversed(rows[-limit:]):
        lines.append(_line(row, credit))
        if isinstance(row, CreditEntry):
            credit -= row.amount_minor
    return lines[::-1]


def _line(row: Payment | CreditEntry, credit: int) -> AccountLine:
    if isinstance(row, Payment) and row.commission:
        return _work_line(row, credit)
    where = f"{row.promise.get_kind_display().lower()} of {row.promise.instrument}"
    if isinstance(row, Payment):
        verb = "Paid on" if row.amount_minor > 0 else "Given back from"
        words = f"Paid for delivery, {where}" if row.purpose == PaymentPurpose.DELIVERY else f"{verb} {where}"
        return AccountLine(row.paid_on, words, row.amount_minor, None, credit)
    verb = ENTRY_VERBS[row.kind]
    words = f"{verb} {where}" + (f" ({row.note})" if row.note else "")
    return AccountLine(row.entered_on, words, None, row.amount_minor, credit)


def _work_line(row: Payment, credit: int) -> AccountLine:
    verb = "Paid for work" if row.amount_minor > 0 else "Given back, work"
    words = f"{verb}, {row.commission.number} on {row.commission.order.instrument}"
    return AccountLine(row.paid_on, words, row.amount_minor, None, credit)


@dataclass(frozen=True)
class Step:
    """One step of a statement. A step without a sum moves value from one place to another of one person."""

    at: datetime
    on: date
    words: str
    sum_minor: int = 0
    after_minor: int = 0


@dataclass(frozen=True)
class OpenWord:
    """A promise that stands: what is paid toward it, and what is still to pay; None without a price."""

    promise: Promise
    held_minor: int
    to_pay_minor: int | None

    @property
    def words(self) -> str:
        return f"{self.promise.get_kind_display()} of {self.promise.instrument}"

    @property
    def if_kept(self) -> str:
        return ", if it is kept" if self.promise.kind == PromiseKind.TRIAL else ""


@dataclass(frozen=True)
class Statement:
    """A person's account toward prices: what they brought (+), what was charged or given back (-).

    balance = credit + what open holds and trials hold - what is still to pay on sales that stand
    """

    person: Person
    steps: tuple[Step, ...]
    brought_forward_minor: int
    balance_minor: int
    credit_minor: int
    open_words: tuple[OpenWord, ...]
    has_earlier: bool


def statement_of(person: Person, limit: int = 400) -> Statement:
    """The newest steps, oldest first, with what stands after each; what came before is brought forward."""
    promises = list(person.promises.select_related("instrument", "trial", "sale__ending", "sale__from_trial"))
    held = held_in(person)
    steps = sorted(
        [step for promise in promises for step in _steps_of(promise, held.get(promise.pk, 0))]
        + [_money_step(payment) for payment in _toward_prices(person)]
        + [_moved(entry) for entry in person.credit_entries.select_related("promise__instrument")],
        key=lambda step: step.at,
    )
    balance = sum(step.sum_minor for step in steps)
    shown = steps[-limit:]
    after = standing_after([step.sum_minor for step in shown], balance)
    return Statement(
        person=person,
        steps=tuple(replace(step, after_minor=stands) for step, stands in zip(shown, after, strict=True)),
        brought_forward_minor=balance - sum(step.sum_minor for step in shown),
        balance_minor=balance,
        credit_minor=credit_of(person),
        open_words=tuple(_open_word(each, held.get(each.pk, 0)) for each in promises if each.is_open),
        has_earlier=len(steps) > limit,
    )


def held_in(person: Person) -> dict[int, int]:
    """Of each promise of this person that money or credit touched: what it holds, as `value_in` sums it."""
    held: dict[int, int] = {}
    for sign, rows in ((1, person.payments.toward_price()), (-1, person.credit_entries)):
        for promise, amount in rows.order_by().values_list("promise").annotate(Sum("amount_minor")):
            held[promise] = held.get(promise, 0) + sign * amount
    return held


def _toward_prices(person: Person):
    return person.payments.toward_price().select_related("promise__instrument")


def _open_word(promise: Promise, held: int) -> OpenWord:
    return OpenWord(promise, held, None if promise.price_minor is None else promise.price_minor - held)


def _steps_of(promise: Promise, held: int) -> Iterator[Step]:
    """What a promise itself charges: the price of a sale, its undoing, and a deduction at an end."""
    if promise.kind == PromiseKind.SALE:
        sale = promise.sale
        after = f" after home trial {sale.from_trial.number}" if sale.from_trial else ""
        words = f"Price of {promise.instrument}, sale {sale.number}{after}"
        yield Step(sale.recorded_at, sale.sold_on, words, -promise.price_minor)
        if hasattr(sale, "ending"):
            words = (
                f"Price taken off again, {sale.ending.get_kind_display().lower()}, {sale.ending.credit_note}"
            )
            yield Step(promise.closed_at, sale.ending.ended_on, words, promise.price_minor)
    if held and not promise.is_open:
        yield Step(promise.closed_at, _ended_on(promise), _deduction_words(promise), -held)


def _ended_on(promise: Promise) -> date:
    trial = getattr(promise, "trial", None)
    return trial.ended_on if trial else localdate(promise.closed_at)


def _deduction_words(promise: Promise) -> str:
    trial = getattr(promise, "trial", None)
    if trial is None:
        return f"Deducted, {_place(promise)}"
    if trial.outcome == PromiseOutcome.EXCHANGED:
        return f"Does not count on: {trial.credit_percent} % does by the terms of {trial.number}"
    return f"Deducted as agreed, {trial.number}: {trial.ended_note}"


def _money_step(payment: Payment) -> Step:
    where = _place(payment.promise)
    if payment.method == PaymentMethod.PART_EXCHANGE:
        verb = "Allowed in part exchange" if payment.amount_minor > 0 else "Allowance taken back"
        words = f"{verb}, {where}"
    else:
        verb = "Paid" if payment.amount_minor > 0 else "Given back"
        words = f"{verb} by {payment.get_method_display().lower()}, {where}"
    if payment.reference:
        words += f" ({payment.reference})"
    return Step(payment.recorded_at, payment.paid_on, words, payment.amount_minor)


def _moved(entry: CreditEntry) -> Step:
    """Value that stays the customer's: its amount stands in the words, and the column does not change."""
    note = f" ({entry.note})" if entry.note else ""
    verb = ENTRY_VERBS[entry.kind]
    words = f"{verb} {_place(entry.promise)}{note}: {in_words(abs(entry.amount_minor))}"
    return Step(entry.recorded_at, entry.entered_on, words)


def _place(promise: Promise) -> str:
    return f"{promise.get_kind_display().lower()} of {promise.instrument}"
