"""One act that buys: the stock number, the purchase, what the seller declares and told, and its paper."""

from collections.abc import Iterable, Mapping
from datetime import date

from django.db import transaction

from instruments.actions.documents import add_document
from instruments.actions.intake import create_instrument
from instruments.actions.numbers import next_number
from instruments.actions.photos import attach_pictures
from instruments.actions.statements import add_statement
from instruments.problems import Refused, refuse_if_blocked
from instruments.states import Grade, Topic
from shop.actions.clearances import record_clearance
from shop.actions.leads import lock_open_lead, mark_bought, take_lead_pictures
from shop.actions.ledger import lock_person, take_payment
from shop.actions.money import record_purchase
from shop.models import Lead, Person, Purchase, Sale, ShopProfile
from shop.protected_problems import protected_material_problems
from shop.protected_states import PaperHolder, ProtectedPaper
from shop.states import PaymentMethod, PurchaseRoute, SellerKind

SERIES, PREFIX = "purchase", "P"


@transaction.atomic
def buy(
    *,
    identity: Mapping,
    seller: Person,
    route: str,
    price_minor: int,
    bought_on: date,
    told: str = "",
    teller: str = "",
    registration: str = "",
    registered_on: date | None = None,
    lead: Lead | None = None,
    sale: Sale | None = None,
    pictures: Iterable[Mapping] = (),
    scan: dict | None = None,
    by,
    on: date,
    **invoice,
) -> Purchase:
    """Buy from a private seller, from the trade, or in part exchange against a sale. All of it or nothing.

    A seller who writes no invoice gets ours, numbered without gaps. `sale` makes it a part exchange: what is
    allowed enters the ledger as value toward that sale in this same transaction.
    """
    seller = lock_person(seller)
    if sale and sale.person.standing_id != seller.standing_id:
        raise Refused("A part exchange comes from whoever buys.")
    lead = lock_open_lead(lead) if lead else None
    instrument = create_instrument(by=by, on=on, **ShopProfile.current().usual_touch | dict(identity))
    if registration:
        record_clearance(instrument=instrument, by=by, **sellers_registration(registration, registered_on))
    refuse_if_blocked(protected_material_problems(instrument, act="buying"))
    if scan:
        invoice["scan"] = add_document(instrument=instrument, title="Invoice of the seller", by=by, **scan)
    if writes_no_invoice(route, invoice.get("seller_kind", "")):
        invoice["own_number"] = next_number(SERIES, on=bought_on, prefix=PREFIX)
    purchase = record_purchase(
        instrument=instrument,
        seller=seller,
        price_minor=price_minor,
        bought_on=bought_on,
        route=route,
        allowed_against=sale.promise if sale else None,
        by=by,
        on=on,
        **invoice,
    )
    if sale:
        _allow(purchase, sale, by=by)
    if told:
        _as_told(purchase, told, teller, by)
    attach_pictures(
        instrument=instrument, pictures=[*(take_lead_pictures(lead) if lead else ()), *pictures], by=by
    )
    if lead:
        mark_bought(lead=lead, instrument=instrument, by=by, on=on)
    return purchase


def writes_no_invoice(route: str, seller_kind: str) -> bool:
    return route != PurchaseRoute.TRADE and seller_kind != SellerKind.TRADE


def _allow(purchase: Purchase, sale: Sale, *, by) -> None:
    """The allowance is the whole of what the old piano cost us, and as much is paid toward the new one."""
    take_payment(
        promise=sale.promise,
        amount_minor=purchase.price_minor,
        method=PaymentMethod.PART_EXCHANGE,
        reference=f"{purchase.instrument.maker_name} {purchase.instrument.stock_number}",
        by=by,
        on=purchase.bought_on,
    )


def _as_told(purchase: Purchase, told: str, teller: str, by) -> None:
    add_statement(
        instrument=purchase.instrument,
        by=by,
        topic=Topic.GENERAL,
        text=told,
        grade=Grade.TOLD,
        told_by=purchase.seller.name,
        teller=teller,
        told_on=purchase.bought_on,
    )


def sellers_registration(reference: str, registered_on: date | None) -> dict:
    """The fields of Clearance for a seller's own registration of the ivory."""
    return {
        "found": "Ivory, by the seller’s own registration",
        "how": "The seller’s reference, read at the purchase",
        "paper": ProtectedPaper.REGISTRATION,
        "reference": reference,
        "issued_on": registered_on,
        "in_name_of": PaperHolder.SELLER,
    }
