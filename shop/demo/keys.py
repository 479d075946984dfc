"""Faults marked at keys of the invented stock, and what cleared some of them."""

from datetime import date

from instruments.actions.key_marks import clear_marks, mark_keys
from instruments.calc.compass import parse_keys
from shop.demo.diary import Diary
from shop.demo.pieces import Marked
from shop.demo.shop_at_work import ShopAtWork


def tell_marked(key: str, marked: Marked, shop: ShopAtWork, diary: Diary) -> None:
    diary.on(marked.days_ago, lambda on: mark(key, marked, shop, on))
    if marked.cleared:
        days_ago, found = marked.cleared
        diary.on(days_ago, lambda on: look_again(key, marked, found, shop, on))


def mark(key: str, marked: Marked, shop: ShopAtWork, on: date) -> None:
    instrument = shop.instrument(key)
    mark_keys(
        instrument=instrument,
        keys=parse_keys(marked.keys, instrument.first_key, instrument.key_count),
        fault=marked.fault,
        note=marked.note,
        by=shop.staff["tobias"],
        on=on,
    )


def look_again(key: str, marked: Marked, found: str, shop: ShopAtWork, on: date) -> None:
    open_marks = shop.instrument(key).key_marks.open().filter(fault=marked.fault)
    clear_marks(marks=open_marks, found=found, by=shop.staff["tobias"], on=on)
