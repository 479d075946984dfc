"""What the course of a sale leaves in the record of its instrument."""

from shop.models import RepairAsked, RepairBack, SaleAgreed, SaleDelivery, SaleNotice
from shop.written_kinds import Kind, sentence

SEES_PEOPLE = {"path": "sale__instrument", "right": "shop.see_people"}


def _agreed(row: SaleAgreed, user) -> str:
    informed = f"Cancellation information had on {row.informed_on:%-d %B %Y}" if row.informed_on else ""
    return sentence(str(row), "" if row.is_consumer else "For a business", informed, row.note)


def _delivery(row: SaleDelivery, user) -> str:
    air = row.climate.air_words if row.climate else ""
    return sentence(str(row), row.mover, row.access, air, row.note)


def _asked(row: RepairAsked, user) -> str:
    return sentence(str(row), row.what)


def _back(row: RepairBack, user) -> str:
    return sentence(f"{row.asked}: {str(row).lower()}", row.note)


def _notice(row: SaleNotice, user) -> str:
    if row.is_taken_back:
        return sentence(f"{row.sale.number}: they keep it after all", row.reason)
    agreed = f"We agreed on {row.agreed_on:%-d %B %Y}" if row.agreed_on else ""
    back = f"Back with us on {row.back_on:%-d %B %Y}" if row.back_on else ""
    return sentence(str(row), row.reason, agreed, back)


SALE_KINDS = (
    Kind(SaleAgreed, _agreed, beside=("sale",), **SEES_PEOPLE),
    Kind(SaleDelivery, _delivery, beside=("sale", "hand_over__sale", "climate"), **SEES_PEOPLE),
    Kind(RepairAsked, _asked, beside=("sale",), **SEES_PEOPLE),
    Kind(
        RepairBack,
        _back,
        path="asked__sale__instrument",
        right="shop.see_people",
        beside=("asked__sale",),
    ),
    Kind(SaleNotice, _notice, beside=("sale",), **SEES_PEOPLE),
)
