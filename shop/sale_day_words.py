"""The legal days of a sale in plain words, each with where it is written. Not legal advice, and says so."""

from dataclasses import dataclass
from datetime import date

from shop.sale_days import SaleDays
from shop.states import ContractPlace, Jurisdiction

CCR, CRA = "Consumer Contracts Regulations 2013", "Consumer Rights Act 2015"
ELSEWHERE = {
    Jurisdiction.EU: "Not worked out here for the European Union: the 14 days to cancel what is sold at a "
    "distance or away from the shop (Directive 2011/83/EU art. 9), the two years of the legal guarantee with "
    "its year of presumption (Directive 2019/771 arts 10, 11), and a last day that falls on a weekend or "
    "holiday and so moves on (Regulation 1182/71). All of this is from memory.",
    Jurisdiction.US: "Not worked out here for the United States: the days to cancel a sale made away from "
    "the shop (16 CFR 429, from memory), and what each state says of returns and warranties.",
    Jurisdiction.OTHER: "Not worked out here: the days to cancel, to reject and to be paid back where you "
    "trade. Ask somebody who knows that law.",
}
FOR_A_BUSINESS = (
    "Bought for a business: a consumer’s days to cancel and to reject do not apply. What the buyer may do "
    "rests on the contract and the law of sale."
)


@dataclass(frozen=True)
class LegalDay:
    """One right or duty: until when, in words what that rests on, and where it is written."""

    name: str
    until: date | None
    words: str
    source: str
    otherwise: str = "not begun"  # in place of a day that there is not


def not_worked_out(days: SaleDays) -> str:
    if days.jurisdiction != Jurisdiction.UK:
        return ELSEWHERE[Jurisdiction(days.jurisdiction)]
    return "" if days.is_consumer else FOR_A_BUSINESS


def legal_days(days: SaleDays) -> list[LegalDay]:
    """In the order in which they come to an end; empty where they are not worked out."""
    if not days.is_worked_out:
        return []
    delivering = [] if days.delivered_on else [_deliver(days)]
    return [
        *delivering,
        _cancel(days),
        _reject(days),
        LegalDay(
            "A fault is presumed to have been there",
            days.presumption_until,
            _begun(days, "six months beginning with the day it was delivered"),
            f"{CRA}, s. 19(14)",
        ),
        LegalDay(
            "No deduction for use after a final rejection",
            days.no_deduction_until,
            _begun(days, "six months beginning the day after it was theirs, delivered and set up"),
            f"{CRA}, s. 24(10), (11)",
        ),
    ]


def _deliver(days: SaleDays) -> LegalDay:
    agreed = days.is_delivery_agreed
    words = "the day agreed with the buyer" if agreed else "no day was agreed: within 30 days of the sale"
    return LegalDay("To be delivered", days.deliver_by, words, f"{CRA}, s. 28(3)")


def _cancel(days: SaleDays) -> LegalDay:
    name, source = "They may cancel without a reason", f"{CCR}, regs 29, 30"
    if not days.agreed_where:
        return LegalDay(
            name, None, "nobody wrote down where it was agreed", f"{CCR}, regs 27, 29, 30", "not known"
        )
    if days.agreed_where == ContractPlace.SHOP:
        return LegalDay(name, None, "no such right: it was agreed in our shop", f"{CCR}, regs 27, 29", "no")
    if days.cancel_until is None:
        words = "from the sale on, until 14 days after the day it reaches them"
        return LegalDay(name, None, words, source, "yes, no last day yet")
    if days.informed_on is None:
        words = "a year longer, while the cancellation information was never given: give it now"
        return LegalDay(name, days.cancel_until, words, f"{CCR}, regs 30, 31")
    if days.informed_on > days.delivered_on:
        words = f"the cancellation information came late, on {days.informed_on:%-d %B %Y}"
        return LegalDay(name, days.cancel_until, words, f"{CCR}, regs 30, 31")
    return LegalDay(name, days.cancel_until, "14 days after the day it reached them", source)


def _reject(days: SaleDays) -> LegalDay:
    name = "They may reject it for a fault and be paid back whole"
    if days.repair_since:
        words = f"stands still since {days.repair_since:%-d %B %Y}, when a repair was asked for"
        return LegalDay(name, None, words, f"{CRA}, s. 22(6) to (8)", "no last day for now")
    if days.has_failed_repair:
        words = "a repair did not put it right: a lower price or the final right to reject is open as well"
        return LegalDay(name, days.reject_until, words, f"{CRA}, ss. 22(3), 24(5)")
    words = _begun(days, "30 days after it was theirs, delivered and set up, and the days of a repair")
    return LegalDay(name, days.reject_until, words, f"{CRA}, s. 22(3)")


def _begun(days: SaleDays, words: str) -> str:
    return words if days.delivered_on else f"{words}; it is not noted as handed over"
