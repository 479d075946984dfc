"""Faults marked at keys of the invented stock, what cleared some of them, and work made of the rest."""

from datetime import date

from instruments.actions.key_marks import clear_marks, mark_keys
from instruments.calc.compass import parse_keys
from shop.demo.diary import Diary
from shop.demo.pieces import Marked
from shop.demo.shop_at_work import ShopAtWork
from workorders.actions.from_findings import Wanted, work_from_findings
from workorders.to_work import needs_of, proofs_wanted


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


def make_work(key: str, title: str, shop: ShopAtWork, on: date) -> None:
    """All that was found, each as the task suggested for it, with frame and plank proven first."""
    instrument = shop.instrument(key)
    needs = needs_of(instrument)
    work_from_findings(
        instrument=instrument,
        wanted=[Wanted(need.suggested, need.findings, need.marks) for need in needs if need.suggested],
        proofs=proofs_wanted(instrument, needs),
        title=title,
        by=shop.staff["tobias"],
        on=on,
    )
