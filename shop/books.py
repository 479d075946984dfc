"""What is owed either way over the whole shop, and what stock has cost."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models import F, IntegerField, OuterRef, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from instruments.models import Instrument
from shop.commissions import Standing, standings_of
from shop.dues import Due, for_sales, for_work, paid_beyond, to_give_back, to_owners, to_sellers
from shop.models import Commission, CreditEntry, Payment, Person, Promise, Purchase
from shop.open_words import open_words_of
from shop.owners import owed_to_owners
from shop.ownership import stock_only
from shop.states import PromiseKind
from shop.waiting_sales import notices_standing, standing_sales

MOST = 100


@dataclass(frozen=True)
class Side:
    """One side of what is owed: the first lines, what all of them come to, and how many are not shown."""

    rows: list[Due]
    all_minor: int
    more: int

    @classmethod
    def of(cls, dues: Iterable[Due]) -> "Side":
        dues = list(dues)
        return cls(dues[:MOST], sum(each.amount_minor for each in dues), max(0, len(dues) - MOST))


def _sum_of(rows: QuerySet, field: str, outer: str) -> Coalesce:
    """A correlated sum that is 0 where there are no rows."""
    summed = rows.filter(**{outer: OuterRef("pk")}).order_by().values(outer).annotate(sum=Sum(field))
    return Coalesce(Subquery(summed.values("sum"), output_field=IntegerField()), Value(0))


def stock_at_cost() -> QuerySet:
    """The shop's instruments, newest first; `shop.costs.true_costs` says what each has cost."""
    return stock_only(Instrument.objects).order_by("-id")


def we_owe(on: date) -> Side:
    """Credit, and whatever a person’s card says that we owe them; the late first."""
    owed = [*_in_credit(), *_sales_that_end(on), *paid_beyond(_with_money_open()), *_sellers(on)]
    return Side.of(
        sorted(owed, key=lambda each: (not each.is_late, each.due_on or date.max, -each.amount_minor))
    )


def we_owe_sellers(on: date) -> Side:
    """Whom we bought from, and whose instruments we sold for them."""
    return Side.of(_sellers(on))


def owed_to_us(on: date) -> Side:
    """What each person’s card says that they owe: sales, and work agreed; the most first."""
    owed = [*_for_sales(on), *for_work(_with_money_open())]
    return Side.of(sorted(owed, key=lambda each: -each.amount_minor))


def held_for_customers() -> tuple[int, int]:
    """What is paid on open holds and home trials, theirs until those end: how many, and how much."""
    kinds = [PromiseKind.HOLD, PromiseKind.TRIAL]
    sums = [each.paid_minor for each in _with_paid(Promise.objects.open().filter(kind__in=kinds))]
    return len([each for each in sums if each]), sum(sums)


def _in_credit() -> list[Due]:
    """Persons with credit over all their cards."""
    sums = (
        CreditEntry.objects.order_by()
        .values(card=Coalesce("person__merged_into", "person"))
        .annotate(credit_minor=Sum("amount_minor"))
        .filter(credit_minor__gt=0)
        .order_by("-credit_minor", "card")
    )
    credit_of = {each["card"]: each["credit_minor"] for each in sums}
    cards = Person.objects.in_bulk(credit_of)
    return [
        Due(str(cards[pk]), "in credit", credit, f"{cards[pk].get_absolute_url()}#account")
        for pk, credit in credit_of.items()
    ]


def _sales_that_end(on: date) -> Iterator[Due]:
    notices = list(notices_standing())
    held = _held(Promise.objects.filter(pk__in=[notice.sale.promise_id for notice in notices]))
    for notice in notices:
        yield from to_give_back(notice, held[notice.sale.promise_id], on=on)


def _with_money_open() -> list[Standing]:
    return standings_of(Commission.objects.with_money_open())


def _sellers(on: date) -> Iterator[Due]:
    yield from to_owners(owed_to_owners(), on=on)
    purchases = Purchase.objects.still_to_pay().select_related("instrument", "seller__merged_into")
    yield from to_sellers(purchases.order_by("bought_on", "id"))


def _for_sales(on: date) -> Iterator[Due]:
    rows = _with_paid(Promise.objects.filter(sale__in=standing_sales())).exclude(price_minor=F("paid_minor"))
    rows = rows.select_related("instrument", "person__merged_into", "sale")
    return for_sales(open_words_of(rows, {each.pk: each.paid_minor for each in rows}, on))


def _held(promises: QuerySet[Promise]) -> dict[int, int]:
    return dict(_with_paid(promises).values_list("pk", "paid_minor"))


def _with_paid(promises: QuerySet[Promise]) -> QuerySet[Promise]:
    """Each with `paid_minor`, what was paid toward it and is still in it."""
    return promises.annotate(
        paid_minor=_sum_of(Payment.objects.toward_price(), "amount_minor", "promise")
        - _sum_of(CreditEntry.objects, "amount_minor", "promise")
    )
