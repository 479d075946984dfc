"""What stands open with a person: each promise, what is paid toward it, and what is asked of them for it."""

from dataclasses import dataclass, replace
from datetime import date

from instruments.models.together import alongside, asked, asking
from shop.models import Promise
from shop.payment_plans import PlanStanding, late_at_once_since, plans_of, stage_words
from shop.states import PromiseKind
from shop.waiting_sales import ending_sales


@dataclass(frozen=True)
class OpenWord:
    """A promise that stands: what is paid toward it, and what is still to pay; None where nothing is asked:
    a hold has no price, and of a sale whose buyer ends it nothing more is to be paid.
    """

    promise: Promise
    held_minor: int
    to_pay_minor: int | None
    stages: tuple[str, ...] = ()  # of a sale paid in stages: what is open of each, and when it is due
    late_minor: int = 0
    late_since: date | None = None
    is_ending: bool = False

    @property
    def words(self) -> str:
        ends = ", which its buyer ends" if self.is_ending else ""
        return f"{self.promise.get_kind_display()} of {self.promise.instrument}{ends}"

    @property
    def if_kept(self) -> str:
        return ", if it is kept" if self.promise.kind == PromiseKind.TRIAL else ""


@asking
def open_words_of(promises: list[Promise], held: dict[int, int], on: date):
    """A tuple of `OpenWord`."""
    stand = [promise for promise in promises if promise.is_open]
    sales = [promise.sale for promise in stand if promise.kind == PromiseKind.SALE]
    ending, plans = yield from alongside(
        asked.later(ending_sales().filter(sale__in=[sale.pk for sale in sales])), plans_of.later(sales, on=on)
    )
    ending = {row["sale"] for row in ending}
    words = (_open_word(each, held.get(each.pk, 0), ending) for each in stand)
    return tuple(
        _of_sale(word, plans, on) if word.promise.kind == PromiseKind.SALE else word for word in words
    )


def _of_sale(word: OpenWord, plans: dict[int, PlanStanding], on: date) -> OpenWord:
    """With its stages and what of them is late; without stages all of it is due at once."""
    sale, to_pay = word.promise.sale, word.to_pay_minor
    if word.is_ending:
        return word
    if (plan := plans.get(sale.pk)) is None:
        since = late_at_once_since(sale)
        return replace(word, late_minor=to_pay, late_since=since) if to_pay and since < on else word
    return replace(word, stages=stage_words(plan), late_minor=plan.late_minor, late_since=plan.late_since)


def _open_word(promise: Promise, held: int, ending: set[int]) -> OpenWord:
    if promise.kind == PromiseKind.SALE and promise.sale.pk in ending:
        return OpenWord(promise, held, None, is_ending=True)
    return OpenWord(promise, held, None if promise.price_minor is None else promise.price_minor - held)
