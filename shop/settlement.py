"""What became of the money of a home trial that has ended: a column that ends at nothing, and where it went.

paid toward the price - deductions, line by line - given back - into credit = nothing

Credit that is paid out or runs out later has left the column already, and stands with what became of it.
"""

from collections.abc import Iterator
from datetime import date

from instruments.documents.content import Fact, MoneyLine
from instruments.documents.dates import day_in_words
from shop.actions.ledger import credit_of, still_to_pay, value_in
from shop.deduction_states import DeductionKind
from shop.models import CreditEntry, Deduction, Payment, Sale, Trial
from shop.states import CreditKind, PaymentMethod, PaymentPurpose, PromiseOutcome, TrialState
from workorders.currency import in_words


def settlement_lines(trial: Trial) -> tuple[MoneyLine, ...]:
    """Every row of the ledger that moved this trial's money, as a line; the sum under them is nothing."""
    apart = trial.promise.payments.exclude(purpose=PaymentPurpose.PRICE).order_by("paid_on", "id")
    rows = [*_brought(trial), *_deducted(trial), *_went(trial)]
    left = sum(amount for amount, _ in rows)
    note = trial.ended_note if left else "all of it stands in the lines above"
    total = MoneyLine("Left over", in_words(left), note, strong=True)
    return (*(line for _, line in rows), total, *map(_fee_line, apart))


def settlement_facts(trial: Trial) -> tuple[Fact, ...]:
    """Which deal it went to, and what stands there and in credit today."""
    kept = sum(line.amount_minor for line in trial.promise.deductions.all())
    facts = [Fact("Kept by us", in_words(kept), "the deductions above")] if kept else []
    if trial.uncompared_note:
        facts.append(Fact("Condition", "settled without comparing", trial.uncompared_note))
    sale, following = getattr(trial, "sale", None), following_trial(trial)
    if sale:
        facts += _sale_facts(sale)
    elif following:
        facts += _trial_facts(following)
    facts += [_out_of_credit(entry) for entry in _left_credit(trial)]
    return (*facts, Fact("In credit with us", in_words(credit_of(trial.person))))


def settlement_sentence(trial: Trial) -> str:
    ended = f"{trial.number} ended on {day_in_words(trial.ended_on)}"
    if following := following_trial(trial):
        return f"{ended}: exchanged for home trial {following.number}."
    if trial.outcome == PromiseOutcome.EXCHANGED:
        return f"{ended}: exchanged for another, sale {trial.sale.number}."
    if trial.outcome == PromiseOutcome.KEPT:
        return f"{ended}: kept, sale {trial.sale.number}."
    return f"{ended}: returned."


def last_moved_on(trial: Trial) -> date:
    """The day of the newest row that the settlement tells of."""
    promise = trial.promise
    days = [
        *promise.payments.values_list("paid_on", flat=True),
        *promise.credit_entries.values_list("entered_on", flat=True),
    ]
    return max([trial.ended_on, *days])


def following_trial(trial: Trial) -> Trial | None:
    """The home trial that it was exchanged for; a draft has taken nothing over yet."""
    if trial.outcome != PromiseOutcome.EXCHANGED:
        return None
    started = trial.exchanged_into.exclude(state=TrialState.DRAFT)
    return started.select_related("instrument", "promise").first()


def _brought(trial: Trial) -> Iterator[tuple[int, MoneyLine]]:
    paid = trial.promise.payments.toward_price().filter(amount_minor__gt=0)
    used = trial.promise.credit_entries.filter(kind=CreditKind.TO_PROMISE)
    for each in sorted([*paid, *used], key=_day_of):
        day = day_in_words(_day_of(each))
        if isinstance(each, CreditEntry):
            yield _row(f"Out of credit on {day}", -each.amount_minor, each.note)
        elif each.method == PaymentMethod.FEE_COUNTS:
            yield _row(f"Fees that count, on {day}", each.amount_minor, each.reference)
        else:
            yield _row(f"Paid on {day}", each.amount_minor, each.get_method_display())


def _deducted(trial: Trial) -> Iterator[tuple[int, MoneyLine]]:
    for line in trial.promise.deductions.standing().exclude(kind=DeductionKind.GIVEN_BACK):
        if line.kind == DeductionKind.NOT_COUNTING:
            yield _row(f"Does not count: {line.words}", -line.amount_minor)
        else:
            yield _row(
                f"Deducted, {str(line)[:1].lower()}{str(line)[1:]}", -line.amount_minor, line.agreed_words
            )


def _went(trial: Trial) -> Iterator[tuple[int, MoneyLine]]:
    back = trial.promise.payments.toward_price().filter(amount_minor__lt=0, receipt__pays_out__isnull=True)
    into = trial.promise.credit_entries.filter(kind=CreditKind.FROM_PROMISE)
    no_longer = trial.promise.deductions.filter(kind=DeductionKind.GIVEN_BACK)
    rows = [*into, *no_longer, *back.select_related("given_back_later")]
    for each in sorted(rows, key=_day_of):
        day = day_in_words(_day_of(each))
        if isinstance(each, Deduction):
            yield _row(f"Kept no longer, on {day}", -each.amount_minor)
        elif isinstance(each, Payment):
            later = getattr(each, "given_back_later", None)
            note = f"{each.get_method_display()}; {later.reason}" if later else each.get_method_display()
            yield _row(f"Given back on {day}", each.amount_minor, note)
        elif trial.outcome == PromiseOutcome.KEPT:
            yield _row(f"To sale {trial.sale.number} on {day}", -each.amount_minor)
        else:
            until = f"to be used until {day_in_words(each.runs_out_on)}" if each.runs_out_on else ""
            yield _row(f"Into credit on {day}", -each.amount_minor, until)


def _row(label: str, amount_minor: int, note: str = "") -> tuple[int, MoneyLine]:
    return amount_minor, MoneyLine(label, in_words(amount_minor), note)


def _day_of(row: Payment | CreditEntry | Deduction) -> date:
    return row.paid_on if isinstance(row, Payment) else row.entered_on


def _fee_line(payment: Payment) -> MoneyLine:
    name = payment.get_purpose_display()
    if payment.method == PaymentMethod.FEE_COUNTS:
        return MoneyLine(name, in_words(payment.amount_minor), "so much of it counts, in the lines above")
    return MoneyLine(name, in_words(payment.amount_minor), "apart from the price")


def _sale_facts(sale: Sale) -> list[Fact]:
    return [
        Fact("Sale", f"{sale.number}, {sale.instrument.maker_name} {sale.instrument.stock_number}"),
        Fact("Its price", in_words(sale.promise.price_minor)),
        Fact("Paid toward it", in_words(value_in(sale.promise))),
        Fact("Still to pay on it", in_words(still_to_pay(sale.promise) if sale.promise.is_open else 0)),
    ]


def _trial_facts(trial: Trial) -> list[Fact]:
    name = f"{trial.number}, {trial.instrument.maker_name} {trial.instrument.stock_number}"
    facts = [Fact("Home trial", name), Fact("Its price", in_words(trial.price_minor))]
    if trial.state == TrialState.ENDED:
        return [*facts, Fact("It ended", day_in_words(trial.ended_on), trial.get_outcome_display())]
    return [
        *facts,
        Fact("Paid toward it", in_words(value_in(trial.promise))),
        Fact("Still to pay, if kept", in_words(still_to_pay(trial.promise))),
    ]


def _left_credit(trial: Trial):
    gone = (CreditKind.PAID_OUT, CreditKind.EXPIRED)
    return trial.promise.credit_entries.filter(kind__in=gone).order_by("entered_on", "id")


def _out_of_credit(entry: CreditEntry) -> Fact:
    day = day_in_words(entry.entered_on)
    label = "Paid out of credit" if entry.kind == CreditKind.PAID_OUT else "Credit run out"
    told = "" if entry.kind == CreditKind.PAID_OUT else f"; told: {entry.note}"
    return Fact(label, in_words(-entry.amount_minor), f"on {day}{told}")
