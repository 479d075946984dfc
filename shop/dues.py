"""A sum that the shop and one person owe each other: said alike on the person's card and in the books."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from django.urls import reverse

from shop.commissions import Standing
from shop.models import Purchase, SaleNotice
from shop.open_words import OpenWord
from shop.owners import Owed
from shop.refund_days import refund_day
from shop.states import CommissionState, PromiseKind
from shop.waiting_lines import day_words, named
from workorders.currency import in_words


@dataclass(frozen=True)
class Due:
    """Who owes it or is owed it, what for, where it is paid, and since when it is late."""

    who: str
    words: str
    amount_minor: int
    url: str
    detail: str = ""
    due_on: date | None = None
    is_late: bool = False

    @property
    def late_since(self) -> date | None:
        return self.due_on if self.is_late else None


def for_sales(words: Iterable[OpenWord]) -> Iterator[Due]:
    """Sales not paid in full, but for those whose buyers end them."""
    for word in words:
        promise = word.promise
        if promise.kind == PromiseKind.SALE and word.to_pay_minor:
            yield Due(
                str(promise.person.standing_card),
                f"{promise.sale.number}, {named(promise.instrument)}",
                word.to_pay_minor,
                promise.sale.get_absolute_url(),
                "; ".join(word.stages),
                word.late_since,
                word.late_since is not None,
            )


def for_work(standings: Iterable[Standing]) -> Iterator[Due]:
    """What is agreed and not paid, whether it is done yet or not."""
    for each in standings:
        if each.to_pay_minor:
            done = each.state == CommissionState.DONE
            detail = "" if done else "agreed; the work is not done yet"
            yield _of_work(each, each.commission.order.title, each.to_pay_minor, detail)


def paid_beyond(standings: Iterable[Standing]) -> Iterator[Due]:
    for each in standings:
        if each.to_give_back_minor:
            yield _of_work(each, "paid beyond what is agreed", each.to_give_back_minor)


def _of_work(each: Standing, words: str, amount_minor: int, detail: str = "") -> Due:
    commission = each.commission
    who = str(commission.person.standing_card)
    url = commission.get_absolute_url()
    return Due(who, f"{commission.number}, {words}", amount_minor, url, detail)


def to_give_back(notice: SaleNotice, held_minor: int, *, on: date) -> Iterator[Due]:
    """What was paid on a sale that its buyer ends."""
    if not held_minor:
        return
    sale = notice.sale
    day = refund_day(sale, notice)
    yield Due(
        str(sale.person.standing_card),
        f"{sale.number} ends, {named(sale.instrument)}",
        held_minor,
        sale.get_absolute_url(),
        f"to be given back {day_words(day.by, on) if day.by else day.words}",
        day.by,
        bool(day.by and day.by < on),
    )


def to_sellers(purchases: Iterable[Purchase]) -> Iterator[Due]:
    """Of purchases that came through `still_to_pay`."""
    for each in purchases:
        bought = f"bought on {each.bought_on:%-d %B %Y}, " if each.bought_on else ""
        part = f"{in_words(each.paid_minor)} of it is" if each.paid_minor else "nothing of it is"
        yield Due(
            str(each.seller.standing_card) if each.seller else "A seller who is not named",
            f"{named(each.instrument)}, the price {in_words(each.price_minor)}",
            each.price_minor - each.paid_minor,
            f"{reverse('shop:instrument_money', args=[each.instrument.stock_number])}#seller",
            f"{bought}{part} paid",
        )


def to_owners(payouts: Iterable[Owed], *, on: date) -> Iterator[Due]:
    """Their parts of what was sold for them."""
    for each in payouts:
        yield Due(
            str(each.agreement.owner.standing_card),
            f"{each.agreement.number}, {named(each.agreement.instrument)} was sold",
            each.owed_minor,
            each.agreement.get_absolute_url(),
            f"their part is due {day_words(each.due_on, on)}",
            each.due_on,
            each.due_on < on,
        )
