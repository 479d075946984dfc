"""One person's account: every row of the ledger in the order it was written, and what stands after each."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db.models import Prefetch, Sum
from django.utils.timezone import localdate

from shop.actions.ledger import credit_of
from shop.calc.running import standing_after
from shop.deduction_states import DeductionKind
from shop.models import CreditEntry, Deduction, Payment, Person, Promise, Receipt
from shop.open_words import OpenWord, open_words_of
from shop.statement_words import ENTRY_VERBS, Bought, bought_of, standing_words
from shop.states import CreditKind, PaymentMethod, PaymentPurpose, PromiseKind, PromiseOutcome
from workorders.currency import in_words


@dataclass(frozen=True)
class AccountLine:
    on: date
    words: str
    paid_minor: int | None
    credit_minor: int | None
    credit_after_minor: int
    receipt: Receipt | None = None


def account_of(person: Person, limit: int = 200) -> list[AccountLine]:
    """Of payments and credit entries the newest, oldest first, with the credit after each line."""
    beside = ("promise__instrument", "commission__order__instrument")
    payments = person.whole("payments").select_related(*beside, "receipt").order_by("-id")[:limit]
    entries = person.whole("credit_entries").select_related("promise__instrument").order_by("-id")[:limit]
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
        if row.method == PaymentMethod.FEE_COUNTS:
            words = f"A fee that counts, {row.get_purpose_display().lower()}, {where}"
        elif row.purpose != PaymentPurpose.PRICE:
            done = "Paid" if row.amount_minor > 0 else "Given back,"
            words = f"{done} {row.get_purpose_display().lower()}, {where}"
        else:
            words = f"{verb} {where}"
        return AccountLine(row.paid_on, words, row.amount_minor, None, credit, _receipt_of(row))
    verb = ENTRY_VERBS[row.kind]
    words = f"{verb} {where}" + (f" ({row.note})" if row.note else "")
    return AccountLine(row.entered_on, words, None, row.amount_minor, credit)


def _work_line(row: Payment, credit: int) -> AccountLine:
    verb = "Paid for work" if row.amount_minor > 0 else "Given back, work"
    words = f"{verb}, {row.commission.number} on {row.commission.order.instrument}"
    return AccountLine(row.paid_on, words, row.amount_minor, None, credit, _receipt_of(row))


@dataclass(frozen=True)
class Step:
    """One step of a statement. A step without a sum moves value from one place to another of one person."""

    at: datetime
    on: date
    words: str
    sum_minor: int = 0
    after_minor: int = 0
    receipt: Receipt | None = None


@dataclass(frozen=True)
class Statement:
    """A person's account toward prices: what they brought (+), what was charged or given back (-).

    balance = credit + what open holds and trials hold - what is still to pay on sales that stand
    A deduction agreed while a trial runs stands without a sum, and is charged when it ends.
    """

    person: Person
    steps: tuple[Step, ...]
    brought_forward_minor: int
    balance_minor: int
    credit_minor: int
    open_words: tuple[OpenWord, ...]
    has_earlier: bool
    bought: tuple[Bought, ...] = ()  # apart from the account: it was paid by hand, not through it

    @property
    def stands_words(self) -> str:
        return self.standing("theirs")

    def standing(self, whose: str) -> str:
        """What the last figure means; the price of a sale that its buyer ends is in it until it is ended."""
        ending = [word.promise for word in self.open_words if word.is_ending]
        if not ending:
            return standing_words(self.balance_minor, whose)
        numbers = ", ".join(each.sale.number for each in ending)
        after = self.balance_minor + sum(each.price_minor for each in ending)
        return f"Once {numbers} is ended, as its buyer asks: {standing_words(after, whose)}"


def statement_of(person: Person, limit: int = 400, *, on: date | None = None) -> Statement:
    """The newest steps, oldest first, with what stands after each; what came before is brought forward."""
    beside = (
        "instrument",
        "person__merged_into",
        "trial__credit_terms",
        "sale__ending",
        "sale__from_trial",
        "hold_ending",
    )
    later = Prefetch(
        "payments",
        Payment.objects.filter(given_back_later__isnull=False).select_related("given_back_later"),
        "later",
    )
    promises = list(person.whole("promises").select_related(*beside).prefetch_related(later))
    held = held_in(person)
    kept, lines = _kept_in(person)
    steps = sorted(
        [step for each in promises for step in _steps_of(each, held.get(each.pk, 0) - kept.get(each.pk, 0))]
        + [_deducted(line) for line in lines]
        + [_money_step(payment) for payment in _toward_prices(person)]
        + [_moved(entry) for entry in person.whole("credit_entries").select_related("promise__instrument")],
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
        open_words=open_words_of(promises, held, on or localdate()),
        has_earlier=len(steps) > limit,
        bought=bought_of(person),
    )


def held_in(person: Person) -> dict[int, int]:
    """Of each promise of this person that money or credit touched: what it holds, as `value_in` sums it."""
    held: dict[int, int] = {}
    for sign, rows in ((1, person.whole("payments").toward_price()), (-1, person.whole("credit_entries"))):
        for promise, amount in rows.order_by().values_list("promise").annotate(Sum("amount_minor")):
            held[promise] = held.get(promise, 0) + sign * amount
    return held


def _toward_prices(person: Person):
    return person.whole("payments").toward_price().select_related("promise__instrument", "receipt")


def _kept_in(person: Person) -> tuple[dict[int, int], list[Deduction]]:
    """Of each promise what its lines and run-out credit say is kept, and the lines that stand."""
    lines = list(
        Deduction.objects.filter(promise__person__in=person.rows())
        .exclude(kind=DeductionKind.GIVEN_BACK)  # told by the refund after the end that it goes with
        .select_related("promise__instrument", "promise__trial", "taken_back_by")
        .order_by("id")
    )
    kept: dict[int, int] = {}
    for line in lines:
        kept[line.promise_id] = kept.get(line.promise_id, 0) + line.amount_minor
    for entry in person.whole("credit_entries").filter(kind=CreditKind.EXPIRED):
        kept[entry.promise_id] = kept.get(entry.promise_id, 0) - entry.amount_minor
    standing = [line for line in lines if line.takes_back_id is None and not hasattr(line, "taken_back_by")]
    return kept, standing


def _deducted(line: Deduction) -> Step:
    """Charged when the promise ends; until then it is only agreed."""
    number = line.promise.trial.number if hasattr(line.promise, "trial") else _place(line.promise)
    if line.kind == DeductionKind.NOT_COUNTING:
        return Step(line.recorded_at, line.entered_on, f"Does not count: {line.words}", -line.amount_minor)
    words = f"{line.get_kind_display()}, {number}: {line.words} ({line.agreed_words})"
    if line.promise.is_open:
        amount = in_words(line.amount_minor)
        return Step(line.recorded_at, line.entered_on, f"To be deducted at the end, {amount}. {words}")
    at = max(line.recorded_at, line.promise.closed_at)
    return Step(at, _ended_on(line.promise), f"Deducted. {words}", -line.amount_minor)


def _steps_of(promise: Promise, unexplained: int) -> Iterator[Step]:
    """What a promise itself charges: the price of a sale, its undoing, and what was kept without a line,
    as it was before deductions had lines.
    """
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
    if promise.is_open:
        return
    later = promise.later
    unexplained -= sum(each.amount_minor for each in later)
    if unexplained:
        yield Step(promise.closed_at, _ended_on(promise), _deduction_words(promise), -unexplained)
    for each in later:
        words = f"Kept no longer, {_place(promise)}: {each.given_back_later.reason}"
        yield Step(each.recorded_at, each.paid_on, words, -each.amount_minor)


def _ended_on(promise: Promise) -> date:
    trial = getattr(promise, "trial", None)
    return trial.ended_on if trial else localdate(promise.closed_at)


def _deduction_words(promise: Promise) -> str:
    trial = getattr(promise, "trial", None)
    if trial is None:
        ending = getattr(promise, "hold_ending", None)
        if ending:
            return f"Kept, {_place(promise)}: {ending.kept_reason}"
        kept = getattr(getattr(promise, "sale", None), "ending", None)
        reason = f": {kept.deduction_for}" if kept and kept.deduction_for else ""
        return f"Deducted, {_place(promise)}{reason}"
    if trial.outcome == PromiseOutcome.EXCHANGED:
        return f"Does not count on: {trial.credit_terms.rule.share_at_first} % does by {trial.number}"
    return f"Deducted as agreed, {trial.number}: {trial.ended_note}"


def _money_step(payment: Payment) -> Step:
    where = _place(payment.promise)
    if payment.method == PaymentMethod.FEE_COUNTS:
        words = f"A fee that was paid counts, {where}"
    elif payment.method == PaymentMethod.PART_EXCHANGE:
        verb = "Allowed in part exchange" if payment.amount_minor > 0 else "Allowance taken back"
        words = f"{verb}, {where}"
    else:
        verb = "Paid" if payment.amount_minor > 0 else "Given back"
        words = f"{verb} by {payment.get_method_display().lower()}, {where}"
    if payment.reference:
        words += f" ({payment.reference})"
    receipt = _receipt_of(payment)
    return Step(payment.recorded_at, payment.paid_on, words, payment.amount_minor, receipt=receipt)


def _receipt_of(payment: Payment) -> Receipt | None:
    return getattr(payment, "receipt", None)


def _moved(entry: CreditEntry) -> Step:
    """Value that stays the customer's: its amount stands in the words, and the column does not change."""
    note = f" ({entry.note})" if entry.note else ""
    verb = ENTRY_VERBS[entry.kind]
    if entry.kind == CreditKind.EXPIRED:
        return Step(
            entry.recorded_at, entry.entered_on, f"{verb} {_place(entry.promise)}{note}", entry.amount_minor
        )
    until = f", to be used until {entry.runs_out_on:%-d %B %Y}" if entry.runs_out_on else ""
    words = f"{verb} {_place(entry.promise)}{note}: {in_words(abs(entry.amount_minor))}{until}"
    return Step(entry.recorded_at, entry.entered_on, words)


def _place(promise: Promise) -> str:
    return f"{promise.get_kind_display().lower()} of {promise.instrument}"
