"""By when a sale that ends is paid back: by the law, from what the buyer’s notice says."""

from dataclasses import dataclass
from datetime import date

from shop.calc.deadlines import cancel_refund_by, reject_refund_by
from shop.models import Sale, SaleNotice
from shop.rejecting import delivered_on
from shop.states import REJECTIONS, SaleEndingKind


@dataclass(frozen=True)
class RefundDay:
    """`by` is None while the day that it counts from has not come, or where no law sets one."""

    by: date | None
    words: str


def refund_day(sale: Sale, notice: SaleNotice) -> RefundDay:
    if notice.kind == SaleEndingKind.RIGHT:
        return _cancelled(sale, notice)
    if notice.kind in REJECTIONS:
        if notice.agreed_on is None:
            return RefundDay(None, "within 14 days once we agree that they may reject it (s. 20(15))")
        words = f"14 days beginning with {notice.agreed_on:%-d %B %Y}, when we agreed (s. 20(15))"
        return RefundDay(reject_refund_by(notice.agreed_on), words)
    return RefundDay(None, "as agreed between us; no law sets a day")


def _cancelled(sale: Sale, notice: SaleNotice) -> RefundDay:
    is_ours_to_fetch = notice.collection_offered or delivered_on(sale) is None
    day = cancel_refund_by(
        notice.told_on,
        collection_offered=is_ours_to_fetch,
        goods_back_on=notice.back_on,
        sent_proof_on=notice.sent_on,
    )
    if day is None:
        return RefundDay(None, "within 14 days after it is back, or is proved to be sent (reg. 34(5))")
    from_words = "after the day they told us" if is_ours_to_fetch else "after it was back or proved sent"
    return RefundDay(day, f"14 days {from_words} (reg. 34)")
