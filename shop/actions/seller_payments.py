"""Paying the seller of an instrument: at once, or in parts; never more than the price."""

from datetime import date

from django.db import transaction

from instruments.models import Instrument
from instruments.problems import Refused
from shop.models import Purchase, SellerPayment
from shop.models.purchase import PAID_ELSEWHERE
from shop.seller_money import Settling, money_of, paid_for
from workorders.currency import in_words


@transaction.atomic
def pay_seller(
    *,
    instrument: Instrument,
    amount_minor: int,
    method: str,
    reference: str = "",
    paid_on: date,
    takes_back: bool = False,
    by,
) -> SellerPayment:
    """Of what is still owed; `takes_back` writes a negative row against what was written before."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    money = money_of(instrument)
    if money is None:
        raise Refused("No purchase with a price is written down that is paid in this way.")
    most = money.paid_minor if takes_back else money.owed_minor
    if not 0 < amount_minor <= most:
        what = "was paid; no more can be taken back" if takes_back else "is owed; no more can be paid"
        raise Refused(f"Give a sum of more than nothing. {in_words(most)} {what}.")
    return SellerPayment.objects.create(
        purchase=money.purchase,
        amount_minor=-amount_minor if takes_back else amount_minor,
        method=method,
        reference=reference,
        paid_on=paid_on,
        recorded_by=by,
    )


def settle(purchase: Purchase, settling: Settling, *, by, on: date) -> None:
    """As a purchase is written or corrected, inside its transaction: paid in full means what holds now."""
    if purchase.route in PAID_ELSEWHERE:
        return
    paid = paid_for(purchase.instrument)
    owed = (purchase.price_minor or 0) - paid
    if not settling.in_full:
        if owed < 0:
            raise Refused(paid_already(paid))
        return
    if owed:
        SellerPayment.objects.create(
            purchase=purchase,
            amount_minor=owed,
            method=settling.method,
            reference=settling.reference or ("Put right with the purchase" if paid else ""),
            paid_on=purchase.bought_on or on,
            recorded_by=by,
        )


def paid_already(paid_minor: int) -> str:
    return (
        f"{in_words(paid_minor)} is paid to the seller already, so the price cannot be less. "
        "Take a payment back first, or say that it is paid in full."
    )
