"""Until when a buyer may reject what they bought: 30 days, and longer where a repair was asked for.

Consumer Rights Act 2015, s. 22(3), (6) to (8). Check the law in force; this is not legal advice.
"""

from datetime import date

from shop.calc.deadlines import reject_until_after_repair, short_term_reject_until
from shop.models import RepairAsked, Sale


def delivered_on(sale: Sale) -> date | None:
    """The day the buyer had it: as written down, or the first day of the trial that it was sold from."""
    if handed := next(iter(sale.hand_overs.all()), None):  # which may have been fetched with it
        return handed.handed_over_on
    trial = sale.from_trial
    return trial.starts_on if trial and trial.instrument_id == sale.instrument_id else None


def reject_limit(sale: Sale) -> tuple[date | None, date | None]:
    """The last day to reject, or None and the day on which it stands still; both None before delivery."""
    delivered = delivered_on(sale)
    if delivered is None:
        return None, None
    set_up = next((each.set_up_on for each in sale.deliveries.all() if each.set_up_on), None)
    limit = short_term_reject_until(sale.sold_on, delivered, set_up)
    return moved_by_repairs(limit, list(sale.repairs.select_related("back")))


def moved_by_repairs(limit: date, repairs: list[RepairAsked]) -> tuple[date | None, date | None]:
    """The limit after repairs in their order; None and the day it stands still from while one is not back.

    A repair asked for after the last day moves nothing: that right was over.
    """
    for asked in repairs:
        if asked.asked_on > limit:
            continue
        if not is_back(asked):
            return None, asked.asked_on
        limit = reject_until_after_repair(limit, asked.asked_on, asked.back.back_on)
    return limit, None


def is_back(asked: RepairAsked) -> bool:
    return hasattr(asked, "back")
