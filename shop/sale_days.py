"""The days of a sale that the law attaches something to, each with its source.

United Kingdom only: Consumer Contracts Regulations 2013 (SI 2013/3134), Consumer Rights Act 2015. Where the
shop trades under another law, or buys nobody for themselves, no day is worked out and the page says so.
"""

from dataclasses import dataclass
from datetime import date

from shop.calc.deadlines import (
    cancel_until,
    deliver_by,
    no_deduction_until,
    presumption_until,
)
from shop.models import Sale, SaleAgreed, SaleDelivery, ShopProfile
from shop.rejecting import delivered_on, is_back, reject_limit
from shop.states import AWAY_FROM_THE_SHOP, ContractPlace, Jurisdiction


@dataclass(frozen=True)
class SaleDays:
    """`agreed_where` is "" where nobody wrote it down. Days that have not begun, or stand still, are None."""

    sold_on: date
    agreed_where: str
    is_consumer: bool
    informed_on: date | None
    delivered_on: date | None
    jurisdiction: str
    deliver_by: date | None = None
    is_delivery_agreed: bool = False
    cancel_until: date | None = None
    reject_until: date | None = None
    presumption_until: date | None = None
    no_deduction_until: date | None = None
    repair_since: date | None = None
    has_failed_repair: bool = False

    @property
    def is_worked_out(self) -> bool:
        return self.jurisdiction == Jurisdiction.UK and self.is_consumer

    @property
    def may_cancel(self) -> bool:
        """Whether there is a right to cancel at all; its last day is `cancel_until` once it has begun."""
        return self.is_worked_out and self.agreed_where in AWAY_FROM_THE_SHOP


def agreed_on_sale(sale: Sale) -> SaleAgreed | None:
    return sale.agreed_rows.first()


def agreed_where(sale: Sale) -> str:
    """As written down for the sale; for one out of a home trial, as the trial was agreed; else ""."""
    if written := agreed_on_sale(sale):
        return written.agreed_where
    return sale.from_trial.agreed_where if sale.from_trial else ""


def delivery_of(sale: Sale) -> SaleDelivery | None:
    return sale.deliveries.select_related("hand_over", "report", "climate").first()


def days_of_sale(sale: Sale) -> SaleDays:
    written, delivery = agreed_on_sale(sale), delivery_of(sale)
    had_on = delivered_on(sale)
    days = {
        "sold_on": sale.sold_on,
        "agreed_where": agreed_where(sale),
        "is_consumer": written.is_consumer if written else True,
        "informed_on": _informed_on(sale, written),
        "delivered_on": had_on,
        "jurisdiction": ShopProfile.current().jurisdiction,
    }
    known = SaleDays(**days)
    if not known.is_worked_out:
        return known
    planned = delivery.planned_on if delivery else None
    repairs = sale.repairs.select_related("back")
    days |= {"deliver_by": planned or deliver_by(sale.sold_on), "is_delivery_agreed": bool(planned)}
    days["has_failed_repair"] = any(is_back(each) and not each.back.put_right for each in repairs)
    if had_on is None:
        return SaleDays(**days)
    begins = max(sale.sold_on, had_on)  # out of a trial it was there before it was bought
    set_up = delivery.set_up_on if delivery else None
    limit, still = reject_limit(sale)
    return SaleDays(
        **days,
        cancel_until=cancel_until(begins, contract=known.agreed_where, informed_on=known.informed_on)
        if known.may_cancel
        else None,
        reject_until=limit,
        repair_since=still,
        presumption_until=presumption_until(begins),
        no_deduction_until=no_deduction_until(max(begins, set_up or begins)),
    )


def _informed_on(sale: Sale, written: SaleAgreed | None) -> date | None:
    """A trial’s agreement carries the information on what was lent, and was handed over on its first day."""
    if written:
        return written.informed_on
    trial = sale.from_trial
    if trial is None or trial.agreed_where == ContractPlace.SHOP:
        return None
    return trial.starts_on if trial.instrument_id == sale.instrument_id else None
