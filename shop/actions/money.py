"""What was paid for an instrument, what it cost since, what is asked for it."""

from datetime import date

from django.db import transaction
from django.utils import timezone

from instruments.models import Instrument
from instruments.problems import Refused, refuse_if_blocked
from shop.actions.seller_payments import settle
from shop.actions.stock_book import enter_purchase
from shop.costs import true_cost
from shop.floor_problems import asking_problems
from shop.models import AskingPrice, CostEstimate, CostLine, Person, Purchase
from shop.ownership_problems import ownership_problems
from shop.seller_money import Settling
from shop.states import PurchaseRoute, SellerKind


@transaction.atomic
def record_purchase(
    *,
    instrument: Instrument,
    seller: Person | None = None,
    price_minor: int | None = None,
    bought_on: date | None = None,
    route: str,
    note: str = "",
    settling: Settling = Settling(),  # noqa: B008
    by,
    on: date | None = None,
    **invoice,
) -> Purchase:
    """Write down how it came to us. A second row corrects the first and stays beside it.

    `invoice` holds what the tax book asks of the paper (fields of Purchase). A correction keeps the number
    of our own invoice, the scan and the sale it was allowed against, unless it says otherwise.
    """
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    refuse_if_blocked(ownership_problems(instrument))
    corrected = instrument.purchases.first()
    _refuse_another_allowance(corrected, route, price_minor)
    invoice = _carried(corrected, route) | invoice
    purchase = Purchase.objects.create(
        instrument=instrument,
        seller=seller,
        price_minor=price_minor,
        bought_on=bought_on,
        route=route,
        note=note,
        corrects=corrected,
        recorded_by=by,
        **invoice,
    )
    settle(purchase, settling, by=by, on=on or timezone.localdate())
    enter_purchase(purchase, on=on or timezone.localdate())
    return purchase


def _refuse_another_allowance(corrected: Purchase | None, route: str, price_minor: int | None) -> None:
    """What was allowed was paid toward a sale as well; the two never part (VATMARG13350)."""
    if corrected is None or corrected.allowed_against_id is None:
        return
    if route != PurchaseRoute.PART_EXCHANGE or price_minor != corrected.price_minor:
        raise Refused(
            f"It was allowed in part exchange against {corrected.allowed_against.sale.number}: the allowance "
            "is its purchase price and part of what was paid there, and neither changes afterwards."
        )


def _carried(corrected: Purchase | None, route: str) -> dict:
    by_trade = route == PurchaseRoute.TRADE
    carried = {"seller_kind": SellerKind.TRADE if by_trade else SellerKind.PRIVATE}
    if corrected:
        carried |= {"own_number": corrected.own_number, "scan": corrected.scan}
        if route == PurchaseRoute.PART_EXCHANGE:
            carried["allowed_against"] = corrected.allowed_against
    return carried


def add_cost(
    *, instrument: Instrument, kind: str, amount_minor: int, note: str = "", by, on: date
) -> CostLine:
    return CostLine.objects.create(
        instrument=instrument, kind=kind, amount_minor=amount_minor, note=note, spent_on=on, recorded_by=by
    )


def set_price(*, instrument: Instrument, amount_minor: int, reason: str = "", by, on: date) -> AskingPrice:
    """Ask a price. Below the floor it takes the right to and a reason; the floor of the day is kept too."""
    refuse_if_blocked(ownership_problems(instrument))
    floor = true_cost(instrument, on=on).floor_minor
    refuse_if_blocked(asking_problems(amount_minor, floor, reason=reason, by=by))
    return AskingPrice.objects.create(
        instrument=instrument,
        amount_minor=amount_minor,
        reason=reason,
        floor_minor=floor,
        set_on=on,
        set_by=by,
    )


def add_estimate(
    *, instrument: Instrument, kind: str, amount_minor: int, note: str = "", by, on: date
) -> CostEstimate:
    """What a kind of cost is expected to come to from now on; the earlier estimate stays in the record."""
    return CostEstimate.objects.create(
        instrument=instrument,
        kind=kind,
        amount_minor=amount_minor,
        note=note,
        estimated_on=on,
        recorded_by=by,
    )
