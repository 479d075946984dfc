"""The books of the invented shop: an invoice, a sale that fell through, a closed quarter and an open one."""

from datetime import date, timedelta

from shop.actions.invoices import issue_credit_note, issue_invoice
from shop.actions.periods import close_period
from shop.actions.sale_endings import end_sale
from shop.actions.sale_notices import give_notice
from shop.actions.sale_papers import issue_cancelling
from shop.actions.sales import sell
from shop.book_problems import first_open_day
from shop.calc.quarters import quarter_start
from shop.demo.dealing import seller, show_again
from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork

INVOICED, INVOICED_DAYS_AGO = "quarle-1962", 194
FELL_THROUGH, BUYER = "tarnbrook-1932", "Annis Fothergale"
SOLD_DAYS_AGO, CANCELLED_DAYS_AGO, SHOWN_DAYS_AGO = 30, 26, 25
CLOSES_AFTER = 12  # days into the quarter that follows


def tell_books(shop: ShopAtWork, diary: Diary) -> None:
    diary.on(INVOICED_DAYS_AGO, lambda on: invoice(INVOICED, shop, on))
    diary.on(SOLD_DAYS_AGO, lambda on: sell_on_a_word(shop, on))
    diary.on(CANCELLED_DAYS_AGO, lambda on: cancel(shop, on))
    diary.on(SHOWN_DAYS_AGO, lambda on: show_again(FELL_THROUGH, shop, on))
    closed = last_quarter_closed_by(diary.today)
    days_ago = (diary.today - closed).days - CLOSES_AFTER
    diary.on(days_ago, lambda on: close_up_to(closed, shop, on))


def last_quarter_closed_by(today: date) -> date:
    """The last day of the newest quarter whose closing lies behind us."""
    ended = quarter_start(today) - timedelta(days=1)
    if (today - ended).days <= CLOSES_AFTER:
        ended = quarter_start(ended) - timedelta(days=1)
    return ended


def invoice(key: str, shop: ShopAtWork, on: date) -> None:
    sale = shop.instrument(key).sales.get()
    issue_invoice(sale=sale, by=seller(shop), on=on)


def sell_on_a_word(shop: ShopAtWork, on: date) -> None:
    """By telephone, so she may think again; the paper that says so goes out the same day."""
    sale = sell(
        instrument=shop.instrument(FELL_THROUGH),
        person=shop.person(BUYER),
        price_minor=160_000,
        pay_now_minor=40_000,
        method="card",
        agreed={"agreed_where": "distance", "informed_on": on, "note": "By telephone, confirmed by e-mail."},
        by=seller(shop),
        on=on,
    )
    issue_cancelling(sale=sale, by=seller(shop))
    issue_invoice(sale=sale, by=seller(shop), on=on)


def cancel(shop: ShopAtWork, on: date) -> None:
    sale = shop.instrument(FELL_THROUGH).sales.get()
    reason = "Her landlord allows no piano; called off before delivery."
    give_notice(sale=sale, kind="right", told_on=on, reason=reason, by=seller(shop))
    end_sale(
        sale=sale,
        kind="right",
        reason=reason,
        method="card",
        by=seller(shop),
        on=on,
    )
    issue_credit_note(sale=sale, by=seller(shop))


def close_up_to(day: date, shop: ShopAtWork, on: date) -> None:
    """What lies before the quarter in one period, then the quarter."""
    first, starts_on = first_open_day(), quarter_start(day)
    if first and first < starts_on:
        before = starts_on - timedelta(days=1)
        close_period(starts_on=first, ends_on=before, by=shop.staff["olive"], on=on)
    close_period(starts_on=starts_on, ends_on=day, by=shop.staff["olive"], on=on)
