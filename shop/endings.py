"""What an ending of a home trial comes to, line by line, before anybody agrees to it."""

from dataclasses import dataclass

from instruments.models import Instrument
from shop.actions.ledger import credit_of, value_in
from shop.actions.trials import credit_for, exchange_figures, return_figures
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


def exchange_lines(trial: Trial, other: Instrument, other_price_minor: int) -> list[EndingLine]:
    """The other one's price, what comes off it, and what is still to pay or left in credit."""
    figures, counts = exchange_figures(trial, other_price_minor), credit_for(trial)
    price_basis = "as asked today" if other_price_minor == other.price_now else "as agreed here"
    lines = [EndingLine(f"Price of {other.stock_number} {other.maker_name}", other_price_minor, price_basis)]
    lines.append(EndingLine(f"Paid on {trial.number}, as far as it counts", -counts, _share_words(trial)))
    if credit := credit_of(trial.person):
        lines.append(EndingLine("In credit already", -credit))
    if figures.left_in_credit_minor:
        return [*lines, EndingLine("Left in credit", figures.left_in_credit_minor, "nothing is to pay", True)]
    return [*lines, EndingLine("Still to pay", figures.still_to_pay_minor, is_sum=True)]


def return_lines(trial: Trial, deduction_minor: int, give_back: str) -> list[EndingLine]:
    """What was paid, what is deducted, and what becomes of the rest. Raises NotEnough for too much."""
    figures = return_figures(trial, deduction_minor)
    lines = [EndingLine(f"Paid on {trial.number}", figures.paid_minor)]
    if deduction_minor:
        lines.append(EndingLine("Deducted", -deduction_minor))
    label = "Given back" if give_back == "refund" else "Left in credit"
    return [*lines, EndingLine(label, figures.rest_minor, is_sum=True)]


def sale_ending_lines(sale: Sale, give_back: str, *, keep_part_exchange: bool) -> list[EndingLine]:
    """What was paid for a sale, what goes back in kind, and what becomes of the rest."""
    paid = value_in(sale.promise)
    handed = [] if keep_part_exchange else part_exchanges_of(sale)
    lines = [EndingLine(f"Paid on {sale.number}", paid, "with the part exchange" if handed else "")]
    lines += [
        EndingLine(f"{each.instrument} goes back", -(each.price_minor or 0), "as it came, at its allowance")
        for each in handed
    ]
    label = "Given back as money" if give_back == "refund" else "Left in their credit"
    rest = paid - sum(each.price_minor or 0 for each in handed)
    return [*lines, EndingLine(label, rest, is_sum=True)]


def _share_words(trial: Trial) -> str:
    return f"{trial.credit_percent} % of {in_words(value_in(trial.promise))}, by the agreement"
