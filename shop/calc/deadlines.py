"""The day counts of UK consumer law for sales and trial loans. A period runs to the end of the day given.

Sources: CCR 2013 (SI 2013/3134) regs 30, 31, 34, 36; Consumer Rights Act 2015 ss 19, 20, 22, 24, 28; Sale of
Goods Act 1979 s 18 rule 4. EU and consumer-hire rules are from memory. Check the law in force; this is not
legal advice.
"""

from calendar import monthrange
from collections.abc import Collection
from datetime import date, timedelta
from fractions import Fraction

from workorders.calc.money import round_half_up

CANCEL_DAYS = REFUND_DAYS = 14
REJECT_DAYS = DELIVERY_DAYS = 30
REPAIR_GRACE_DAYS = 7
PRESUMPTION_MONTHS = NO_DEDUCTION_MONTHS = 6
MISSING_INFORMATION_MONTHS = 12
HIRE_LIMIT_MONTHS = 3
CONTRACTS = ("shop", "distance", "off-premises")


def cancel_until(starts_on: date, *, contract: str, informed_on: date | None) -> date | None:
    """The last day to cancel; None for a contract made in the shop, which cannot be cancelled.

    `starts_on` is the day the (last) goods reach the consumer, for services the day of contract.
    `informed_on` is the day the consumer had the cancellation information, None if never (regs 30, 31).
    """
    if contract not in CONTRACTS:
        raise ValueError(f"A contract is made in one of these ways: {', '.join(CONTRACTS)}.")
    if contract == "shop":
        return None
    usual_end = starts_on + timedelta(days=CANCEL_DAYS)
    if informed_on is not None and informed_on <= starts_on:
        return usual_end
    first_day = starts_on + timedelta(days=1)
    if informed_on is not None and informed_on <= _end_of_months(first_day, MISSING_INFORMATION_MONTHS):
        return informed_on + timedelta(days=CANCEL_DAYS)
    return months_later(usual_end, MISSING_INFORMATION_MONTHS)


def cancel_refund_by(
    told_on: date,
    *,
    collection_offered: bool,
    goods_back_on: date | None = None,
    sent_proof_on: date | None = None,
) -> date | None:
    """The last day to refund a cancelled contract (reg 34): 14 days after the day that counts.

    That is the day the shop was told if it offered to collect; otherwise goods back or proof of sending,
    whichever is first, and None while neither has happened.
    """
    arrivals = [day for day in (goods_back_on, sent_proof_on) if day]
    counting_from = told_on if collection_offered else min(arrivals, default=None)
    return counting_from and counting_from + timedelta(days=REFUND_DAYS)


def reject_refund_by(agreed_on: date) -> date:
    """The last day to refund a rejection: 14 days beginning with the day the shop agrees (s 20(15))."""
    return agreed_on + timedelta(days=REFUND_DAYS - 1)


def short_term_reject_until(owned_on: date, delivered_on: date, installed_on: date | None = None) -> date:
    """The end of the 30 days after ownership (possession if hired), delivery and installation (s 22(3))."""
    return max(owned_on, delivered_on, installed_on or delivered_on) + timedelta(days=REJECT_DAYS)


def reject_until_after_repair(limit: date, requested_on: date, back_on: date) -> date:
    """The limit moved by the days of a repair or replacement, at least 7 days after it (s 22(6)-(8)).

    The waiting time begins with the day of the request and ends with the day the instrument is back.
    """
    if back_on < requested_on:
        raise ValueError("An instrument cannot be back before the repair was asked for.")
    waited = (back_on - requested_on).days + 1
    return max(limit + timedelta(days=waited), back_on + timedelta(days=REPAIR_GRACE_DAYS))


def presumption_until(delivered_on: date) -> date:
    """Until then a fault is presumed to have been there: 6 months beginning with delivery (s 19(14))."""
    return _end_of_months(delivered_on, PRESUMPTION_MONTHS)


def no_deduction_until(delivered_on: date) -> date:
    """Until then no deduction for use: 6 months beginning the day after (s 24(10), (11))."""
    return _end_of_months(delivered_on + timedelta(days=1), NO_DEDUCTION_MONTHS)


def deliver_by(contract_on: date) -> date:
    """The last day to deliver when nothing was agreed: 30 days after the contract (s 28(3))."""
    return contract_on + timedelta(days=DELIVERY_DAYS)


def property_passes_on(
    return_due_on: date,
    *,
    accepted_on: date | None = None,
    rejected_on: date | None = None,
    keeping_is_not_acceptance: bool = False,
) -> date | None:
    """The day, at its end, on which goods on approval become the customer's; None if they do not (s 18 r 4).

    Acceptance counts at once; silence counts when the fixed time is over, unless the agreement says that
    keeping the instrument is not acceptance or notice of rejection came in time.
    """
    if accepted_on is not None and (rejected_on is None or accepted_on <= rejected_on):
        return accepted_on
    if keeping_is_not_acceptance or (rejected_on is not None and rejected_on <= return_due_on):
        return None
    return return_due_on


def hire_for_used_days_minor(fee_minor: int, days_agreed: int, days_used: int) -> int:
    """What is due of a fee for a hire cancelled early: in proportion, half up (reg 36(4)).

    Only where the customer expressly asked for an early start. Used days count up to the days agreed.
    """
    if days_agreed < 1 or days_used < 0 or fee_minor < 0:
        raise ValueError("Fee and days cannot be negative, and a hire lasts one day at least.")
    return round_half_up(Fraction(fee_minor * min(days_used, days_agreed), days_agreed))


def may_be_regulated_hire(starts_on: date, ends_on: date | None) -> bool:
    """Whether a hire to an individual can run past 3 months or without end (CCA 1974 s 15, from memory)."""
    return ends_on is None or ends_on > _end_of_months(starts_on, HIRE_LIMIT_MONTHS)


def rolled_to_working_day(day: date, holidays: Collection[date] = ()) -> date:
    """EU counting: a last day on a weekend or holiday moves on (Reg 1182/71, from memory). Not in the UK."""
    while day.weekday() >= 5 or day in holidays:
        day += timedelta(days=1)
    return day


def months_later(day: date, months: int) -> date:
    """The same day of a later month, or its last day where that month is shorter."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _end_of_months(first_day: date, months: int) -> date:
    """The last day of a period of months that begins with `first_day`."""
    corresponding = months_later(first_day, months)
    return corresponding if corresponding.day < first_day.day else corresponding - timedelta(days=1)
