"""A sale's own story for its page: agreed, brought, mended, given up, and the days that follow from it."""

from dataclasses import dataclass
from datetime import date

from instruments.models import ConditionReport
from instruments.states import Occasion, Place
from shop.models import RepairAsked, Sale, SaleAgreed, SaleDelivery, SaleEnding, SaleNotice
from shop.refund_days import RefundDay, refund_day
from shop.sale_day_words import LegalDay, legal_days, not_worked_out
from shop.sale_days import SaleDays, agreed_on_sale, days_of_sale, delivery_of
from shop.sale_notice_problems import notice_of
from shop.states import ContractPlace


@dataclass(frozen=True)
class SaleCourse:
    days: SaleDays
    lines: list[LegalDay]
    not_worked_out: str
    written: SaleAgreed | None
    delivery: SaleDelivery | None
    repairs: list[RepairAsked]
    notice: SaleNotice | None
    refund: RefundDay | None
    ending: SaleEnding | None
    report_back: ConditionReport | None
    is_late: bool
    is_still_with_them: bool

    @property
    def was_there_before(self) -> bool:
        """Sold out of a home trial: the buyer had it before it was bought."""
        return bool(self.days.delivered_on and self.days.delivered_on < self.days.sold_on)

    @property
    def where_words(self) -> str:
        where = self.days.agreed_where
        return ContractPlace(where).label if where else "Not written down"

    @property
    def lacks_information(self) -> bool:
        return self.days.may_cancel and self.days.informed_on is None and self.ending is None


def course_of(sale: Sale, *, on: date) -> SaleCourse:
    days, notice = days_of_sale(sale), notice_of(sale)
    ending = getattr(sale, "ending", None)
    late = days.deliver_by and days.delivered_on is None and days.deliver_by < on
    return SaleCourse(
        days=days,
        lines=legal_days(days) if ending is None else [],
        not_worked_out=not_worked_out(days) if ending is None else "",
        written=agreed_on_sale(sale),
        delivery=delivery_of(sale),
        repairs=list(sale.repairs.select_related("back")),
        notice=notice,
        refund=refund_day(sale, notice) if notice else None,
        ending=ending,
        report_back=_report_back(sale, ending),
        is_late=bool(late and ending is None and sale.instrument.place != Place.CUSTOMER),
        is_still_with_them=bool(ending and sale.instrument.place == Place.CUSTOMER and not _sold_on(sale)),
    )


def _report_back(sale: Sale, ending: SaleEnding | None) -> ConditionReport | None:
    """The walk round it when it came back: after this sale, and before anybody bought it again."""
    if ending is None:
        return None
    reports = sale.instrument.condition_reports.filter(
        occasion=Occasion.BACK_FROM_BUYER, looked_on__gte=sale.sold_on
    )
    if later := sale.instrument.sales.filter(pk__gt=sale.pk).order_by("pk").first():
        reports = reports.filter(looked_on__lte=later.sold_on)
    return reports.first()


def _sold_on(sale: Sale) -> bool:
    return sale.instrument.promises.open().exists()
