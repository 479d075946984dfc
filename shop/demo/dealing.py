"""From the tables of dealings to entries of the diary."""

from datetime import date, timedelta

from instruments.actions.moves import move_instrument
from shop.actions.agreements import agreement_words, keep_agreement, terms_of
from shop.actions.ledger import take_payment
from shop.actions.listing import publish_listing
from shop.actions.money import add_cost
from shop.actions.papers import stored_paper
from shop.actions.promises import extend_hold, place_hold, release_hold
from shop.actions.sales import sell
from shop.actions.trials import draft_trial, exchange_trial, keep_trial, return_trial, start_trial
from shop.actions.waiting_list import join_waiting_list
from shop.demo.dealings import (
    HOLDS,
    HOUSE_TERMS,
    LATER_PAYMENTS,
    SALES,
    TRIALS,
    Exchanged,
    Hold,
    HomeTrial,
    Kept,
    PaidLater,
    Returned,
    Sold,
)
from shop.demo.diary import Diary
from shop.demo.examining import examine
from shop.demo.shop_at_work import ShopAtWork
from shop.documents.trial_agreement import build_trial_agreement
from shop.models import Promise, Trial

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
    for story in TRIALS:
        tell_trial(story, shop, diary)
    for sold in SALES:
        diary.on(sold.sold, lambda on, sold=sold: sale(sold, shop, on))
        diary.on(sold.sold - DELIVERED_AFTER, lambda on, sold=sold: deliver(sold.key, shop, on))
    for paid in LATER_PAYMENTS:
        diary.on(paid.days_ago, lambda on, paid=paid: pay_on(paid, shop, on))


def tell_trial(story: HomeTrial, shop: ShopAtWork, diary: Diary) -> None:
    if story.started is None:
        diary.on(1, lambda on: draft(story, on + timedelta(days=4), shop, on))
        return
    starts_on = diary.day(story.started)
    diary.on(story.started + 1, lambda on: draft(story, starts_on, shop, on))
    diary.on(story.started, lambda on: send_out(story, shop, on))
    match story.ending:
        case Kept(ended, note):
            diary.on(
                ended, lambda on: keep_trial(trial=the_trial(story, shop), note=note, by=seller(shop), on=on)
            )
        case Exchanged(ended, other, _, _, back_in_window):
            diary.on(ended, lambda on: exchange(story, story.ending, shop, on))
            diary.on(ended - DELIVERED_AFTER, lambda on: deliver(other, shop, on))
            diary.on(back_in_window, lambda on: show_again(story.key, shop, on))
        case Returned(ended):
            diary.on(ended, lambda on: take_back(story, story.ending, shop, on))


def seller(shop: ShopAtWork):
    return shop.staff["selma"]


def the_trial(story: HomeTrial, shop: ShopAtWork) -> Trial:
    return Trial.objects.get(instrument=shop.instrument(story.key))


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
    release_hold(promise=open_promise_on(held.key, shop), by=seller(shop), on=on)


def draft(story: HomeTrial, starts_on: date, shop: ShopAtWork, on: date) -> None:
    customer = shop.person(story.who)
    draft_trial(
        instrument=shop.instrument(story.key),
        person=customer,
        price_minor=story.price * 100,
        pay_now_minor=story.paid * 100,
        delivery_minor=story.delivery * 100,
        credit_percent=100,
        starts_on=starts_on,
        ends_on=starts_on + timedelta(days=story.days),
        address=customer.address,
        delivery_note=story.delivery_note,
        special_terms=HOUSE_TERMS,
        by=seller(shop),
        on=on,
    )


def send_out(story: HomeTrial, shop: ShopAtWork, on: date) -> None:
    """Print the agreement, start the trial, and keep what was printed."""
    trial = the_trial(story, shop)
    if story.handed_over:
        examine(story.key, story.handed_over, shop, on, occasion="out_on_trial")
    terms, agreement = terms_of(trial), agreement_words(trial, on=on)
    with stored_paper(trial.number, build_trial_agreement(agreement)) as stored:
        started = start_trial(trial=trial, method=story.method, by=seller(shop), on=on)
        keep_agreement(trial=started, stored=stored, terms=terms, agreement=agreement, by=seller(shop))


def exchange(story: HomeTrial, ending: Exchanged, shop: ShopAtWork, on: date) -> None:
    exchange_trial(
        trial=the_trial(story, shop),
        other=shop.instrument(ending.other),
        other_price_minor=ending.other_price * 100,
        note=ending.note,
        by=seller(shop),
        on=on,
    )


def take_back(story: HomeTrial, ending: Returned, shop: ShopAtWork, on: date) -> None:
    return_trial(
        trial=the_trial(story, shop),
        deduction_minor=ending.deduction * 100,
        give_back="refund",
        method="transfer",
        note=ending.note,
        by=seller(shop),
        on=on,
    )
    examine(story.key, ending.found, shop, on, occasion="back_from_trial")


def show_again(key: str, shop: ShopAtWork, on: date) -> None:
    instrument = shop.instrument(key)
    move_instrument(instrument=instrument, place="showroom", by=seller(shop), on=on)
    publish_listing(listing=instrument.listing, by=seller(shop))


def sale(sold: Sold, shop: ShopAtWork, on: date) -> None:
    sell(
        instrument=shop.instrument(sold.key),
        person=shop.person(sold.who),
        price_minor=sold.price * 100,
        pay_now_minor=sold.paid * 100,
        method=sold.method,
        by=seller(shop),
        on=on,
    )


def deliver(key: str, shop: ShopAtWork, on: date) -> None:
    instrument = shop.instrument(key)
    move_instrument(instrument=instrument, place="customer", note="delivered", by=seller(shop), on=on)
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
