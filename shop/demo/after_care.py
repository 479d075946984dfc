"""After the sale: a guarantee printed, two tunings in the price done and a third due, two call-backs."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from shop.actions.call_backs import answer_call_back, close_call_back, judge_call_back, take_call_back
from shop.actions.care_terms import agree_care, usual_terms
from shop.actions.guarantee_papers import issue_guarantee
from shop.actions.visits import book_visit, write_up_visit
from shop.demo.dealing import seller
from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork
from shop.models import CallBack, CareVisit, Sale

SETTLED, NEW = "quarle-1962", "wexcombe-1899"
FIRST = {
    "pitch_found": Decimal("437.4"),
    "pitch_left": Decimal(440),
    "humidity_percent": Decimal(51),
    "temperature_c": Decimal(19),
    "minutes": 85,
    "travel_minutes": 40,
    "work": "Tuned. It had settled by ten cents, evenly.",
    "advice": "Good room; leave it on the inner wall.",
    "note": "Ring at the side door; mornings suit her best.",
}
SECOND = {
    "pitch_found": Decimal("438.9"),
    "pitch_left": Decimal(440),
    "humidity_percent": Decimal(43),
    "temperature_c": Decimal(21),
    "minutes": 75,
    "travel_minutes": 40,
    "work": "Tuned; two unisons in the treble drawn together again.",
    "keys": "C6, D6",
    "advice": "The air is a little dry since the heating began: a humidifier will help it.",
}
EASED = {
    "minutes": 25,
    "travel_minutes": 40,
    "work": "Two centres re-bushed, their springs set.",
    "keys": "F3, G3",
}


def tell_after_care(shop: ShopAtWork, diary: Diary) -> None:
    diary.on(191, lambda on: agree(SETTLED, 3, shop, on))
    diary.on(176, lambda on: book(SETTLED, diary.day(170), shop, on))
    diary.on(170, lambda on: write_up(shop, on, **FIRST))
    diary.on(126, lambda on: book(SETTLED, diary.day(118), shop, on))
    diary.on(118, lambda on: write_up(shop, on, **SECOND))
    diary.on(90, lambda on: call_back(SETTLED, "centres", "Two notes stay down in the evening.", shop, on))
    diary.on(89, lambda on: judge(diary.day(84), shop, on))
    diary.on(84, lambda on: ease(shop, on))
    diary.on(41, lambda on: agree(NEW, 1, shop, on))
    diary.on(9, lambda on: book(NEW, diary.today + timedelta(days=3), shop, on))
    diary.on(2, lambda on: call_back(NEW, "pedals", "The right pedal squeaks when we sing softly.", shop, on))


def sale_of(key: str, shop: ShopAtWork) -> Sale:
    return Sale.objects.select_related("instrument", "person", "promise").get(instrument=shop.instrument(key))


def agree(key: str, tunings: int, shop: ShopAtWork, on: date) -> None:
    sale = sale_of(key, shop)
    agree_care(sale=sale, terms=replace(usual_terms(), included_tunings=tunings), by=seller(shop))
    issue_guarantee(sale=sale, by=seller(shop), on=on)


def book(key: str, day: date, shop: ShopAtWork, on: date) -> None:
    person = sale_of(key, shop).person
    book_visit(
        instrument=shop.instrument(key),
        booked_for=day,
        who=shop.staff["tobias"],
        where="\n".join(filter(None, [person.address, person.telephone])),
        included=True,
        by=seller(shop),
        on=on,
    )


def write_up(shop: ShopAtWork, on: date, **found) -> None:
    visit = CareVisit.objects.booked().get(instrument=shop.instrument(SETTLED))
    tobias = shop.staff["tobias"]
    unit = {"pitch_unit": "hz"} if "pitch_found" in found else {}
    write_up_visit(visit=visit, visited_on=on, by=tobias, on=on, **unit, **found)


def call_back(key: str, part: str, words: str, shop: ShopAtWork, on: date) -> None:
    take_call_back(
        instrument=shop.instrument(key),
        words=words,
        part=part,
        part_name=usual_terms().part(part).name,
        told_on=on,
        by=seller(shop),
        on=on,
    )


def judge(visit_on: date, shop: ShopAtWork, on: date) -> None:
    told = CallBack.objects.get(instrument=shop.instrument(SETTLED))
    judge_call_back(call_back=told, verdict="guarantee", by=seller(shop), on=on)
    words = "Tobias comes to look at it next week, at our cost: centres are in the guarantee."
    answer_call_back(call_back=told, answered_on=on, how="telephone", words=words, by=seller(shop), on=on)
    book_visit(
        instrument=told.instrument,
        booked_for=visit_on,
        who=shop.staff["tobias"],
        where=told.person.address,
        call_back=told,
        by=seller(shop),
        on=on,
    )


def ease(shop: ShopAtWork, on: date) -> None:
    write_up(shop, on, **EASED)
    told = CallBack.objects.get(instrument=shop.instrument(SETTLED))
    found = "Two centres tight after the dry weeks; re-bushed at the house."
    close_call_back(call_back=told, outcome="put_right", found=found, by=seller(shop), on=on)
