"""Whose an instrument is: the shop's stock, or a customer's own that is only here for work.

The one place to ask. What is not the shop's own to sell never stands in the stock list, the stock book or the
stock at cost, and is never priced, listed, lent or sold.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum

from django.db.models import Exists, OuterRef, Q, QuerySet

from instruments.models import Instrument
from instruments.models.together import asking
from instruments.models.worded import ASKED, of_one
from shop.models import Person, Promise, Purchase, SaleOrReturn, TakenIn
from shop.states import PromiseKind, PurchaseRoute


class Whose(Enum):
    SHOP = "the shop’s stock"
    CUSTOMER = "a customer’s own"
    OWNER = "its owner’s, here on sale or return"


@dataclass(frozen=True)
class Ownership:
    """Whose it is, and the paper it is here on: nothing for stock, the taking-in for a customer's own."""

    whose: Whose
    person: Person | None = None
    until: date | None = None
    paper: TakenIn | SaleOrReturn | None = None
    is_here: bool = True

    @property
    def is_stock(self) -> bool:
        """Bought, or to be bought, by the shop: it belongs into the stock book."""
        return self.whose is Whose.SHOP

    @property
    def may_be_offered(self) -> bool:
        """Whether the shop may price, list, lend or sell it."""
        return self.whose is Whose.SHOP or (self.whose is Whose.OWNER and self.is_here)


STOCK = Ownership(Whose.SHOP)


@asking
def ownership_of(instrument: Instrument):
    agreements, rows = yield _agreements_on(instrument.pk), _papers_on(instrument.pk)
    return _owned([instrument.pk], agreements, rows)[instrument.pk]


@of_one
def _agreements_on() -> QuerySet[SaleOrReturn]:
    return _owners().filter(instrument=ASKED).select_related("owner").order_by("id")


@of_one
def _papers_on() -> QuerySet[TakenIn]:
    return TakenIn.objects.filter(_theirs(), instrument=ASKED).select_related("person").order_by("id")


@asking
def ownerships_of(instruments: Iterable[Instrument]):
    """Whose each is, as `Ownership` by its key; in one query."""
    keys = [instrument.pk for instrument in instruments]
    agreements, rows = yield (
        _owners().filter(instrument__in=keys).select_related("owner").order_by("id"),
        TakenIn.objects.filter(_theirs(), instrument__in=keys).select_related("person").order_by("id"),
    )
    return _owned(keys, agreements, rows)


def _owned(keys: list[int], agreements: Iterable[SaleOrReturn], rows: Iterable[TakenIn]) -> dict:
    owned = dict.fromkeys(keys, STOCK)
    for agreement in agreements:
        owned[agreement.instrument_id] = Ownership(
            Whose.OWNER, agreement.owner, agreement.until, agreement, agreement.returned_on is None
        )
    for row in rows:  # the newest is the last to be written
        owned[row.instrument_id] = Ownership(Whose.CUSTOMER, row.person, row.until, row, row.is_here)
    return owned


def customers_own(instruments: QuerySet[Instrument]) -> QuerySet[Instrument]:
    """Only what belongs to customers, whether it is still here or was handed back."""
    return instruments.filter(Exists(_takings_in()))


def without_customers_own(instruments: QuerySet[Instrument]) -> QuerySet[Instrument]:
    """Everything that the shop may offer."""
    return without(instruments, *not_to_offer())


def not_to_offer() -> tuple[QuerySet, ...]:
    """Rows of papers, each of which says that the shop may not offer its instrument."""
    return TakenIn.objects.filter(_theirs()), _owners().filter(returned_on__isnull=False)


def without(instruments: QuerySet[Instrument], *kept_out: QuerySet) -> QuerySet[Instrument]:
    """Those to which none of such rows belongs."""
    for rows in kept_out:
        instruments = instruments.exclude(Exists(rows.filter(instrument=OuterRef("pk"))))
    return instruments


def stock_only(instruments: QuerySet[Instrument]) -> QuerySet[Instrument]:
    """What belongs into the stock book: the shop's own, sold or not. A piano we sold stays in it."""
    theirs = _owners().filter(instrument=OuterRef("pk"))
    return instruments.exclude(Exists(_takings_in().filter(was_ours=False))).exclude(Exists(theirs))


def _takings_in() -> QuerySet[TakenIn]:
    return TakenIn.objects.filter(_theirs(), instrument=OuterRef("pk"))


def _owners() -> QuerySet[SaleOrReturn]:
    """What is on sale or return, or was and went home: the shop’s once it is sold or bought outright."""
    sold = Promise.objects.open().filter(instrument=OuterRef("instrument"), kind=PromiseKind.SALE)
    bought = Purchase.objects.exclude(route=PurchaseRoute.SALE_OR_RETURN).filter(
        instrument=OuterRef("instrument")
    )
    return SaleOrReturn.objects.exclude(Exists(sold)).exclude(Exists(bought))


def _theirs() -> Q:
    """A piano we sold is its owner's while it is here; one that never was ours is always theirs."""
    return Q(was_ours=False) | Q(handed_back_on__isnull=True)
