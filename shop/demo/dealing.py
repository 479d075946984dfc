"""From the tables of dealings to entries of the diary."""

from datetime import date, timedelta

from instruments.actions.moves import move_instrument
from shop.actions.ledger import take_payment
from shop.actions.listing import publish_listing
from shop.actions.money import add_cost
from shop.actions.promises import extend_hold, place_hold, release_hold
from shop.actions.sale_course import ask_repair, bring_back, deliver_sale, plan_delivery
from shop.actions.sale_papers import issue_cancelling, issue_delivery_note
from shop.actions.sales import sell
from shop.actions.waiting_list import join_waiting_list
from shop.demo.dealings import (
    HOLDS,
    LATER_PAYMENTS,
    REPAIRS,
    SALES,
    SOLD_AGAIN,
    Hold,
    PaidLater,
    Repair,
    Sold,
)
from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork
from shop.models import Promise
from shop.states import GiveBack

DELIVERED_AFTER = 3


def tell_dealings(shop: ShopAtWork, diary: Diary) -> None:
    for held in HOLDS:
        diary.on(held.placed, lambda on, held=held: hold(held, shop, on))
        if held.waits:
            diary.on(held.waits[0], lambda on, held=held: wait(held, shop, on))
        if held.extended:
            diary.on(held.extended[0], lambda on, held=held: extend(held, shop))
        if held.let_go is not None:
            diary.on(held.let_go, lambda on, held=held: let_go(held, shop, on))
    for sold in SALES:
        diary.on(sold.sold, lambda on, sold=sold: sale(sold, shop, on))
        diary.on(sold.sold - DELIVERED_AFTER, lambda on, sold=sold: deliver(sold.key, shop, on))
    planned_on = diary.today + timedelta(days=SOLD_AGAIN.planned)
    diary.on(SOLD_AGAIN.sold, lambda on: sale(SOLD_AGAIN, shop, on))
    diary.on(SOLD_AGAIN.sold - 1, lambda on: plan(SOLD_AGAIN.key, planned_on, shop))
    for asked in REPAIRS:
        diary.on(asked.asked, lambda on, asked=asked: mend(asked, shop, diary.day(asked.back), on))
    for paid in LATER_PAYMENTS:
        diary.on(paid.days_ago, lambda on, paid=paid: pay_on(paid, shop, on))


def seller(shop: ShopAtWork):
    return shop.staff["selma"]


def open_promise_on(key: str, shop: ShopAtWork) -> Promise:
    return Promise.objects.open().get(instrument=shop.instrument(key))


def hold(held: Hold, shop: ShopAtWork, on: date) -> None:
    place_hold(
        instrument=shop.instrument(held.key),
        person=shop.person(held.who),
        until=on + timedelta(days=held.days),
        deposit_minor=held.deposit * 100,
        method="card",
        note=held.note,
        by=seller(shop),
        on=on,
    )


def wait(held: Hold, shop: ShopAtWork, on: date) -> None:
    _, who, note = held.waits
    join_waiting_list(
        instrument=shop.instrument(held.key), person=shop.person(who), note=note, by=seller(shop), on=on
    )


def extend(held: Hold, shop: ShopAtWork) -> None:
    _, days, why = held.extended
    promise = open_promise_on(held.key, shop)
    extend_hold(promise=promise, until=promise.until + timedelta(days=days), why=why, by=seller(shop))


def let_go(held: Hold, shop: ShopAtWork, on: date) -> None:
    pounds, reason, told = held.kept or (0, "", "")
    release_hold(
        promise=open_promise_on(held.key, shop),
        give_back=GiveBack.REFUND,
        method="card",
        kept_minor=pounds * 100,
        kept_reason=reason,
        told_how=told,
        by=seller(shop),
        on=on,
    )


def show_again(key: str, shop: ShopAtWork, on: date) -> None:
    instrument = shop.instrument(key)
    move_instrument(instrument=instrument, place="showroom", by=seller(shop), on=on)
    publish_listing(listing=instrument.listing, by=seller(shop))


def sale(sold: Sold, shop: ShopAtWork, on: date) -> None:
    """Away from the shop, the paper on the right to cancel goes out the same day."""
    away = sold.where != "shop"
    made = sell(
        instrument=shop.instrument(sold.key),
        person=shop.person(sold.who),
        price_minor=sold.price * 100,
        pay_now_minor=sold.paid * 100,
        method=sold.method,
        agreed={
            "agreed_where": sold.where,
            "is_consumer": sold.is_consumer,
            "informed_on": on if away else None,
        },
        by=seller(shop),
        on=on,
    )
    if away:
        issue_cancelling(sale=made, by=seller(shop))


def plan(key: str, planned_on: date, shop: ShopAtWork) -> None:
    made = shop.instrument(key).sales.select_related("person").first()
    plan_delivery(
        sale=made,
        planned_on=planned_on,
        address=made.person.address,
        access="One step; the inner door is 84 cm wide.",
        mover="Two men and a van",
        by=seller(shop),
    )


def mend(repair: Repair, shop: ShopAtWork, back_on: date, on: date) -> None:
    """Asked for, and back the same week: the days to reject stand still in between."""
    sale = shop.instrument(repair.key).sales.select_related("person").get()
    asked = ask_repair(sale=sale, asked_on=on, what=repair.what, by=seller(shop))
    bring_back(asked=asked, back_on=back_on, put_right=True, note=repair.done, by=seller(shop))


def deliver(key: str, shop: ShopAtWork, on: date) -> None:
    instrument = shop.instrument(key)
    sale = instrument.sales.select_related("person").first()
    deliver_sale(sale=sale, handed_over_on=on, mover="Two men and a van", by=seller(shop))
    issue_delivery_note(sale=sale, by=seller(shop), on=on)
    add_cost(
        instrument=instrument,
        kind="delivery",
        amount_minor=7500,
        note="Two men and a van",
        by=shop.staff["olive"],
        on=on,
    )


def pay_on(paid: PaidLater, shop: ShopAtWork, on: date) -> None:
    take_payment(
        promise=open_promise_on(paid.key, shop),
        amount_minor=paid.pounds * 100,
        method=paid.method,
        reference=paid.reference,
        by=seller(shop),
        on=on,
    )
