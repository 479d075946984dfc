"""All that stands between the shop and one person, gathered once for their card.

Every sum is the ledger's: this module asks for it and puts it into a line.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Exists, OuterRef, Q, QuerySet

from shop.actions.ledger import paid_in_money
from shop.after_care import CareStanding, cares_of, with_care
from shop.commissions import Standing, standings_of
from shop.dues import Due, for_sales, for_work, paid_beyond, to_give_back, to_owners, to_sellers
from shop.models import (
    CallBack,
    CallBackAnswer,
    CareVisit,
    Commission,
    Paper,
    Person,
    Purchase,
    Receipt,
    Sale,
    SaleNotice,
)
from shop.open_words import OpenWord
from shop.owners import Owed, owed_to_owners
from shop.person_papers import papers_of
from shop.statements import Statement, statement_of
from shop.states import PromiseKind

MOST = 50
MOST_PAPERS = 12


@dataclass(frozen=True)
class PersonCard:
    person: Person
    on: date
    statement: Statement
    paid_minor: int
    commissions: list[Standing]
    payouts: list[Owed]  # for what of theirs was sold, not paid out yet
    unpaid: list[Purchase]  # what they sold us and are not paid in full for; for those who see costs
    notices: dict[int, SaleNotice]  # of sales that end, by the key of their promise
    cares: list[CareStanding]
    call_backs: list[CallBack]
    visits: list[CareVisit]
    they_owe: list[Due] = field(init=False)
    we_owe: list[Due] = field(init=False)

    def __post_init__(self):
        they_owe = [*for_sales(self.open_words), *for_work(self.commissions)]
        we_owe = [*self._to_give_back(), *paid_beyond(self.commissions)]
        object.__setattr__(self, "they_owe", they_owe)
        object.__setattr__(
            self, "we_owe", [*we_owe, *to_owners(self.payouts, on=self.on), *to_sellers(self.unpaid)]
        )

    @property
    def open_words(self) -> tuple[OpenWord, ...]:
        return self.statement.open_words

    @property
    def credit_minor(self) -> int:
        return self.statement.credit_minor

    @property
    def they_owe_minor(self) -> int:
        return sum(due.amount_minor for due in self.they_owe)

    @property
    def we_owe_minor(self) -> int:
        """Besides credit, which is theirs to use when they like."""
        return sum(due.amount_minor for due in self.we_owe)

    @property
    def holds(self) -> list[OpenWord]:
        return [word for word in self.open_words if word.promise.kind == PromiseKind.HOLD]

    @property
    def on_trial(self) -> list[OpenWord]:
        return [word for word in self.open_words if word.promise.kind == PromiseKind.TRIAL]

    @property
    def guarantees(self) -> list[CareStanding]:
        return [care for care in self.cares if care.next_end]

    @property
    def is_open(self) -> bool:
        return bool(self.holds or self.on_trial or self.they_owe or self.we_owe or self.credit_minor)

    def _to_give_back(self) -> Iterator[Due]:
        for word in self.open_words:
            if notice := self.notices.get(word.promise.pk):
                yield from to_give_back(notice, word.held_minor, on=self.on)


def card_of(person: Person, *, on: date, sees_costs: bool = True) -> PersonCard:
    """In a fixed number of queries, whatever the person has with us."""
    answered = CallBackAnswer.objects.filter(call_back=OuterRef("pk"))
    calls = person.whole("call_backs").open().annotate(is_answered=Exists(answered))
    return PersonCard(
        person=person,
        on=on,
        statement=statement_of(person, on=on),
        paid_minor=paid_in_money(person),
        commissions=standings_of(_commissions(person)),
        unpaid=list(_unpaid(person)) if sees_costs else [],
        payouts=owed_to_owners(person.whole("sale_or_returns")),
        notices=_notices(person),
        cares=cares_of(with_care(_standing_sales(person))[:MOST], on=on),
        call_backs=list(calls.select_related("instrument").order_by("answer_by")[:MOST]),
        visits=list(visits_of_person(person).booked().order_by("booked_for", "id")[:MOST]),
    )


def visits_of_person(person: Person) -> QuerySet[CareVisit]:
    sales = Sale.objects.filter(person__in=person.rows())
    calls = person.whole("call_backs")
    theirs = CareVisit.objects.filter(sale__in=sales) | CareVisit.objects.filter(call_back__in=calls)
    return theirs.select_related("instrument")


def receipts_of(person: Person) -> list[Receipt]:
    rows = Receipt.objects.filter(payment__person__in=person.rows())
    return list(rows.select_related("payment").order_by("-id")[:MOST_PAPERS])


def newest_papers(person: Person) -> list[Paper]:
    return list(papers_of(person).exclude(kind="receipt").select_related("instrument")[:MOST_PAPERS])


def _standing_sales(person: Person) -> QuerySet[Sale]:
    return person.whole("purchases_from_us").filter(promise__closed_at__isnull=True)


def _commissions(person: Person) -> QuerySet[Commission]:
    """The newest, and every one with money open, so that all sums are whole."""
    theirs = person.whole("commissions")
    newest = theirs.values("pk")[:MOST]
    open_too = theirs.with_money_open().values("pk")
    return theirs.filter(Q(pk__in=newest) | Q(pk__in=open_too))


def _unpaid(person: Person) -> QuerySet[Purchase]:
    rows = person.whole("sold_to_us").still_to_pay().select_related("instrument", "seller__merged_into")
    return rows.order_by("bought_on", "id")


def _notices(person: Person) -> dict[int, SaleNotice]:
    """The newest of each sale that stands, unless it was taken back."""
    rows = SaleNotice.objects.filter(sale__in=_standing_sales(person)).order_by("id")
    rows = rows.select_related("sale__from_trial", "sale__person__merged_into").prefetch_related(
        "sale__hand_overs"
    )
    newest = {row.sale.promise_id: row for row in rows}
    return {promise: row for promise, row in newest.items() if not row.is_taken_back}
