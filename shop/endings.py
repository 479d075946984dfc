"""What an ending of a home trial comes to, line by line, before anybody agrees to it."""

from dataclasses import dataclass
from datetime import date

from instruments.models import Instrument
from shop.actions.deductions import agreed_on_trial
from shop.actions.ledger import credit_of, value_in
from shop.actions.trial_settling import counting_of, exchange_figures, return_figures
from shop.calc.credit_terms import Counting
from shop.models import Sale, Trial
from shop.untouched import part_exchanges_of
from workorders.currency import in_words


@dataclass(frozen=True)
class EndingLine:
    """One line of the sum; what comes off is negative."""

    label: str
    amount_minor: int
    basis: str = ""
    is_sum: bool = False


def exchange_lines(
    trial: Trial, other: Instrument, other_price_minor: int, *, refunded: bool = False, on: date
) -> list[EndingLine]:
    """The other one's price, what comes off it, and what is still to pay, left in credit or given back."""
    figures, counting = exchange_figures(trial, other_price_minor, on=on), counting_of(trial, on=on)
    price_basis = "as asked today" if other_price_minor == other.price_now else "as agreed here"
    lines = [EndingLine(f"Price of {other.stock_number} {other.maker_name}", other_price_minor, price_basis)]
    lines.append(
        EndingLine(
            f"Paid on {trial.number}, as far as it counts", -counting.counted_minor, share_words(counting)
        )
    )
    lines += [
        EndingLine(f"Deducted as agreed: {each.words}", each.amount_minor) for each in agreed_on_trial(trial)
    ]
    if counting.deducted_minor > counting.counted_minor:
        beyond = counting.counted_minor - counting.deducted_minor
        lines.append(EndingLine("Of it out of what does not count", beyond))
    credit = credit_of(trial.person)
    if credit:
        lines.append(EndingLine("In credit already", -credit))
    if not figures.left_in_credit_minor:
        return [*lines, EndingLine("Still to pay", figures.still_to_pay_minor, is_sum=True)]
    back = figures.over_from_trial_minor(credit) if refunded else 0
    if back:
        lines.append(EndingLine("Given back", back, "nothing is to pay", True))
    if left := figures.left_in_credit_minor - back:
        lines.append(EndingLine("Left in credit", left, _credit_words(trial, on), True))
    return lines


def return_lines(trial: Trial, deduction_minor: int, give_back: str, *, on: date) -> list[EndingLine]:
    """What was paid, what is deducted line by line, and what becomes of the rest. NotEnough for too much."""
    figures = return_figures(trial, deduction_minor)
    lines = [EndingLine(f"Paid on {trial.number}", figures.paid_minor)]
    lines += [EndingLine(f"Deducted: {each.words}", -each.amount_minor) for each in agreed_on_trial(trial)]
    if deduction_minor:
        lines.append(EndingLine("Deducted", -deduction_minor, "agreed here"))
    refunded = give_back == "refund"
    label, basis = ("Given back", "") if refunded else ("Left in credit", _credit_words(trial, on))
    return [*lines, EndingLine(label, figures.rest_minor, basis, is_sum=True)]


def sale_ending_lines(
    sale: Sale,
    give_back: str,
    *,
    keep_part_exchange: bool,
    deduction_minor: int = 0,
    delivery_minor: int = 0,
) -> list[EndingLine]:
    """What was paid for a sale, what goes back in kind, what is kept, and what becomes of the rest.

    No line at all where more would be kept than was paid: the form says so beside its field.
    """
    paid = value_in(sale.promise)
    handed = [] if keep_part_exchange else part_exchanges_of(sale)
    lines = [EndingLine(f"Paid on {sale.number}", paid, "with the part exchange" if handed else "")]
    lines += [
        EndingLine(f"{each.instrument} goes back", -(each.price_minor or 0), "as it came, at its allowance")
        for each in handed
    ]
    label = "Given back as money" if give_back == "refund" else "Left in their credit"
    if deduction_minor:
        lines.append(EndingLine("Kept by us", -deduction_minor))
    rest = paid - deduction_minor - sum(each.price_minor or 0 for each in handed)
    if rest < 0:
        return []
    lines.append(EndingLine(label, rest, is_sum=True))
    if delivery_minor:
        lines.append(
            EndingLine("And for delivery, as money", delivery_minor, "paid apart from the price", True)
        )
    return lines


def share_words(counting: Counting) -> str:
    """How much of what counts: the share in force, and what it is a share of."""
    fees = f" and {in_words(counting.fees_minor)} of fees that count" if counting.fees_minor else ""
    return f"{counting.percent} % of {in_words(counting.paid_minor)}{fees}, by the agreement"


def _credit_words(trial: Trial, on: date) -> str:
    last_day = trial.credit_terms.rule.runs_out_on(on)
    return f"it can be used until {last_day:%-d %B %Y}" if last_day else "it does not run out"
