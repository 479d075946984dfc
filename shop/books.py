"""What is owed either way over the whole shop, and what stock has cost."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import F, QuerySet, Sum
from django.db.models.functions import Coalesce

from instruments.models import Instrument
from instruments.models.together import alongside, asked, asking
from shop.commissions import standings_of
from shop.db.open_credit import entries_of_open_cards
from shop.dues import Due, for_sales, for_work, paid_beyond, to_give_back, to_owners, to_sellers
from shop.models import Commission, Person, Promise, Purchase
from shop.open_words import open_words_of
from shop.owners import owed_to_owners
from shop.ownership import stock_only
from shop.promise_value import with_value
from shop.states import PromiseKind
from shop.waiting_sales import notices_to_answer, unsettled_sales

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


def stock_at_cost() -> QuerySet:
    """The shop's instruments, newest first; `shop.costs.true_costs` says what each has cost."""
    return stock_only(Instrument.objects).order_by("-id")


@asking
def we_owe(on: date):
    """`Side`: credit, and whatever a person’s card says that we owe them; the late first."""
    credit, ending, standings, sellers = yield from alongside(
        _in_credit(), _sales_that_end(on), _with_money_open(), _sellers(on)
    )
    return Side.of(
        sorted(
            [*credit, *ending, *paid_beyond(standings), *sellers],
            key=lambda each: (not each.is_late, each.due_on or date.max, -each.amount_minor),
        )
    )


@asking
def we_owe_sellers(on: date):
    """`Side`: whom we bought from, and whose instruments we sold for them."""
    return Side.of((yield from _sellers(on)))


@asking
def owed_to_us(on: date):
    """`Side`: what each person’s card says that they owe: sales, and work agreed; the most first."""
    sales, standings = yield from alongside(_for_sales(on), _with_money_open())
    return Side.of(sorted([*sales, *for_work(standings)], key=lambda each: -each.amount_minor))


@asking
def held_for_customers():
    """What is paid on open holds and home trials, theirs until those end: how many, and how much."""
    kinds = [PromiseKind.HOLD, PromiseKind.TRIAL]
    held = with_value(Promise.objects.unsettled().filter(kind__in=kinds)).filter(value_minor__gt=0)
    (held,) = yield (held.values_list("value_minor", flat=True).order_by(),)
    return len(held), sum(held)


def _in_credit():
    """Persons with credit over all their cards."""
    sums = (
        entries_of_open_cards()
        .values(card=Coalesce("person__merged_into", "person"))
        .annotate(credit_minor=Sum("amount_minor"))
        .filter(credit_minor__gt=0)
        .order_by("-credit_minor", "card")
    )
    (sums,) = yield (sums,)
    (cards,) = yield (Person.objects.filter(pk__in=[each["card"] for each in sums]),)
    cards = {card.pk: card for card in cards}
    return [
        Due(
            str(cards[each["card"]]),
            "in credit",
            each["credit_minor"],
            f"{cards[each['card']].get_absolute_url()}#account",
        )
        for each in sums
    ]


def _sales_that_end(on: date):
    notices = yield from notices_to_answer.later()
    held = with_value(Promise.objects.filter(pk__in=[notice.sale.promise_id for notice in notices]))
    (held,) = yield (held.values_list("pk", "value_minor"),)
    held = dict(held)
    return [due for each in notices for due in to_give_back(each, held[each.sale.promise_id], on=on)]


def _with_money_open():
    return (yield from standings_of.later(Commission.objects.with_money_open()))


def _sellers(on: date):
    purchases = Purchase.objects.still_to_pay().select_related("instrument", "seller__merged_into")
    owed, purchases = yield from alongside(
        owed_to_owners.later(), asked.later(purchases.order_by("bought_on", "id"))
    )
    return [*to_owners(owed, on=on), *to_sellers(purchases)]


def _for_sales(on: date):
    rows = with_value(Promise.objects.unsettled().filter(sale__in=unsettled_sales()))
    rows = rows.exclude(price_minor=F("value_minor"))
    (rows,) = yield (rows.select_related("instrument", "person__merged_into", "sale"),)
    words = yield from open_words_of.later(rows, {each.pk: each.value_minor for each in rows}, on)
    return list(for_sales(words))
