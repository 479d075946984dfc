"""Taking in, selling, paying out and handing back what stays its owner's until it is sold."""

from collections.abc import Mapping
from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.intake import create_instrument
from instruments.actions.moves import move_instrument
from instruments.actions.numbers import next_number
from instruments.models import Instrument
from instruments.problems import Refused, refuse_if_blocked
from instruments.states import Place
from shop.actions.buying import PREFIX, SERIES
from shop.actions.ledger import NotEnough, lock_person
from shop.actions.money import record_purchase
from shop.models import PayOut, Person, Promise, SaleOrReturn, ShopProfile
from shop.owner_problems import owner_problems, standing_agreement
from shop.owners import owed_for, owners_part_minor
from shop.states import PurchaseRoute, SellsAs
from workorders.currency import in_words


@transaction.atomic
def take_on_sale_or_return(*, identity: Mapping, owner: Person, by, on: date, **terms) -> SaleOrReturn:
    """It gets a stock number and may be offered, and is not our stock: nothing is bought."""
    instrument = create_instrument(by=by, on=on, **ShopProfile.current().usual_touch | dict(identity))
    agreement = SaleOrReturn(
        number=next_number("sale or return", on=on, prefix="R"),
        instrument=instrument,
        owner=owner,
        agreed_by=by,
        **terms,
    )
    save_tracked(agreement, by=by, why=f"On sale or return from {owner}")
    return agreement


def buy_by_selling(*, instrument: Instrument, price_minor: int, by, on: date) -> None:
    """At the moment of a sale the shop buys from the owner, for their part. Inside its transaction."""
    agreement = standing_agreement(instrument)
    if agreement is None:
        return
    refuse_if_blocked(owner_problems(instrument, act="selling", price_minor=price_minor, on=on))
    earlier = instrument.purchases.first()
    record_purchase(
        instrument=instrument,
        seller=agreement.owner,
        price_minor=owners_part_minor(agreement, price_minor),
        bought_on=on,
        route=PurchaseRoute.SALE_OR_RETURN,
        right_to_sell=SellsAs.OWNER,
        own_number=earlier.own_number if earlier else next_number(SERIES, on=on, prefix=PREFIX),
        note=f"Sold for its owner by agreement {agreement.number}",
        by=by,
        on=on,
    )


@transaction.atomic
def pay_owner(
    *, agreement: SaleOrReturn, amount_minor: int, method: str, reference: str = "", by, on: date
) -> PayOut:
    """Pay an owner of what is owed for a sale that stands; never more."""
    lock_person(agreement.owner)
    owed = owed_for(agreement)
    if owed is None:
        raise NotEnough("It is not sold: nothing is owed to its owner.")
    if not 0 < amount_minor <= owed.owed_minor:
        raise NotEnough(f"{in_words(owed.owed_minor)} is owed; no more can be paid out, and not nothing.")
    return PayOut.objects.create(
        agreement=agreement,
        promise=owed.promise,
        amount_minor=amount_minor,
        method=method,
        reference=reference,
        paid_on=on,
        recorded_by=by,
    )


@transaction.atomic
def hand_back(*, agreement: SaleOrReturn, why: str, by, on: date) -> SaleOrReturn:
    """It goes home unsold; nobody may be promised it any more."""
    Instrument.objects.select_for_update().get(pk=agreement.instrument_id)
    agreement = SaleOrReturn.objects.select_for_update().get(pk=agreement.pk)
    if agreement.returned_on:
        raise Refused("It was handed back before.")
    if Promise.objects.open().filter(instrument=agreement.instrument_id).exists():
        raise Refused("It is promised to somebody: end that first.")
    agreement.returned_on, agreement.returned_why = on, why
    save_tracked(agreement, by=by, why=f"Handed back to {agreement.owner}: {why}")
    move_instrument(
        instrument=agreement.instrument, place=Place.SELLER, note="handed back to its owner", by=by, on=on
    )
    return agreement
