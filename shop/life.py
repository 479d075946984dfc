"""The life of an instrument as plain data: what is drawn on its life line and told in the table under it.

Two variants. The file's has every current statement and every promise. The public's has what may be printed:
no private statement, none that did not bear testing, no promise but the sale, no price and no name.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Max, Q, QuerySet
from django.utils import timezone

from instruments.calc import edtf
from instruments.calc.evidence import CONTRADICTED
from instruments.calc.wording import sentence_for
from instruments.drawings.life_line import Entry, mark_of
from instruments.models import Instrument
from instruments.models.together import asking
from instruments.standings import Weighed, saying_of, weighed_statements
from instruments.states import Asserts, MadeBasis
from shop.models import Promise, Sale
from shop.private_names import fit_for_the_public
from shop.states import PromiseKind, PromiseOutcome
from workorders.states import ItemState, OrderState

LONGEST_LABEL = 58
MOST_ROWS = 200
MOST_SALES = 20
LASTING = {Asserts.OWNED, Asserts.USED}
MADE_GRADES = {MadeBasis.STYLE: "inferred", MadeBasis.TOLD: "told", "": "told"}


@dataclass(frozen=True)
class LifeRow:
    """One thing that happened: as it is drawn, when in words, the sentence, and how we know it."""

    entry: Entry
    when: str
    sentence: str
    basis: str


@dataclass(frozen=True)
class Life:
    rows: tuple[LifeRow, ...]
    today: date

    @property
    def entries(self) -> list[Entry]:
        return [row.entry for row in self.rows]

    @property
    def has_dates(self) -> bool:
        return any(row.entry.dated for row in self.rows)


@asking
def life_of(instrument: Instrument, *, today: date, with_names: bool, weighed: list[Weighed] | None = None):
    """Everything on file, for those who work here; who told us by name only for those who see people."""
    if weighed is None:
        weighed = yield from weighed_statements.later(instrument)
    purchases, orders, promises, sales = yield (
        _purchases_of(instrument),
        _orders_worked_on(instrument),
        _lent_and_held(instrument),
        _sales_of(instrument),
    )
    rows = [
        *_made(instrument),
        *(_statement(each, with_names) for each in weighed),
        *_purchase(purchases),
        *(_order(order, order.title) for order in orders),
        *_promises(promises),
        *_sales(sales),
    ]
    return _life(rows, today)


@asking
def public_life_of(instrument: Instrument, *, today: date, weighed: list[Weighed] | None = None):
    """What may be printed and shown to anybody."""
    if weighed is None:
        weighed = yield from weighed_statements.later(instrument)
    purchases, orders, sales = yield (
        _purchases_of(instrument),
        _orders_worked_on(instrument),
        _sales_of(instrument),
    )
    rows = [
        *_made(instrument),
        *filter(None, map(_public_statement, fit_for_the_public(instrument, weighed))),
        *_purchase(purchases),
        *(_order(order, "Work done here") for order in orders),
        *_sales(sales),
    ]
    return _life(rows, today)


def life_from(lived, *, today: date) -> Life:
    """The life line of an issued history again, as it stood on that day."""
    rows = [
        LifeRow(
            Entry(each.label, each.detail, each.dated, each.mark, each.kind, each.lasts),
            each.when,
            each.sentence,
            each.basis,
        )
        for each in lived
    ]
    return Life(tuple(_linked(row, place) for place, row in enumerate(rows)), today)


def _life(rows: list[LifeRow], today: date) -> Life:
    """In the order of their first days, those without a date last; each bar leads to its row."""
    ordered = sorted(rows, key=lambda row: _first_day(row.entry.dated))[:MOST_ROWS]
    return Life(tuple(_linked(row, place) for place, row in enumerate(ordered)), today)


def _linked(row: LifeRow, place: int) -> LifeRow:
    entry = row.entry
    linked = Entry(
        entry.label, entry.detail, entry.dated, entry.mark, entry.kind, entry.lasts, f"#life-{place}"
    )
    return LifeRow(linked, row.when, row.sentence, row.basis)


def _first_day(dated: str) -> date:
    first, last = edtf.bounds(dated) if dated else (date.max, None)
    return first or last or date.max


def _made(instrument: Instrument) -> list[LifeRow]:
    if not instrument.made:
        return []
    grade = MADE_GRADES.get(instrument.made_basis, "seen")
    basis = "as told to us" if grade == "told" else instrument.made_basis_words
    when = instrument.made_words
    entry = Entry("Made", f"{when}, {basis}"[:120], instrument.made, mark_of(grade))
    sentence = f"We were told it was made then: {when}." if grade == "told" else f"Made: {when}."
    return [LifeRow(entry, when, sentence, basis)]


def _statement(weighed: Weighed, with_names: bool) -> LifeRow:
    statement = weighed.statement
    said = sentence_for(saying_of(weighed, with_names=with_names), public=False)
    basis = f"{statement.get_grade_display()}; {weighed.standing.name}"
    return LifeRow(_drawn(weighed), statement.dated_words, said.text, basis)


def _public_statement(weighed: Weighed) -> LifeRow | None:
    said = sentence_for(saying_of(weighed, with_names=False))
    if said is None:
        return None
    return LifeRow(_drawn(weighed), weighed.statement.dated_words, said.text, grade_words(weighed))


def grade_words(weighed: Weighed) -> str:
    """The grade and, where it adds something, the standing."""
    grade, standing = weighed.statement.get_grade_display(), weighed.standing.name
    return grade if standing in {"supported", "as told"} else f"{grade}; {standing}"


def _drawn(weighed: Weighed) -> Entry:
    statement, standing = weighed.statement, weighed.standing.name
    known = {"told": "as told"}.get(statement.grade, statement.get_grade_display().lower())
    if standing == CONTRADICTED:
        known = "did not bear testing"
    elif standing == "open":
        known += ", open"
    return Entry(
        label=shortened(statement.text),
        detail=", ".join(filter(None, [statement.dated_words, known])),
        dated=statement.dated,
        mark=mark_of(statement.grade, standing),
        lasts=statement.asserts in LASTING,
    )


def shortened(text: str) -> str:
    words = " ".join(text.split()).rstrip(".")
    if len(words) <= LONGEST_LABEL:
        return words
    return words[:LONGEST_LABEL].rsplit(" ", 1)[0].rstrip(",;:") + "…"


def _purchases_of(instrument: Instrument) -> QuerySet:
    return instrument.purchases.all()[:1]


def _purchase(purchases: QuerySet) -> list[LifeRow]:
    purchase = purchases.first()
    if purchase is None or purchase.bought_on is None:
        return []
    when = _day(purchase.bought_on)
    entry = Entry("Came to us", when, purchase.bought_on.isoformat(), kind="purchase")
    return [LifeRow(entry, when, "It came to this workshop.", "our books")]


def _orders_worked_on(instrument: Instrument) -> QuerySet:
    """Orders with work done in them: each becomes a row from its first day to the last item closed."""
    is_done = Q(items__state=ItemState.DONE)
    return (
        instrument.work_orders.exclude(state=OrderState.ABANDONED)
        .annotate(done=Count("items", filter=is_done), last=Max("items__closed_at", filter=is_done))
        .filter(done__gt=0)
        .order_by("id")[:MOST_ROWS]
    )


def _order(order, title: str) -> LifeRow:
    first, last = order.opened_on, timezone.localdate(order.last)
    dated, when = _from_to(first, last)
    counted = f"{order.done} item{'' if order.done == 1 else 's'} done"
    entry = Entry(shortened(title), f"{when}, {counted}", dated, kind="work", lasts=True)
    return LifeRow(entry, when, f"{title}: {counted}.", "our work list")


def _lent_and_held(instrument: Instrument) -> QuerySet:
    lent = instrument.promises.exclude(kind=PromiseKind.SALE).order_by("id")
    return lent.select_related("hold_ending")[:MOST_ROWS]


def _promises(promises: Iterable[Promise]) -> list[LifeRow]:
    rows = []
    for promise in promises:
        ended = timezone.localdate(promise.closed_at) if promise.closed_at else promise.until
        dated, when = _from_to(promise.opened_on, ended)
        how = _how_ended(promise)
        label = promise.get_kind_display()
        entry = Entry(label, f"{when}, {how}", dated, kind="promise", lasts=True)
        rows.append(LifeRow(entry, when, f"{label}: {how}.", "our books"))
    return rows


def _how_ended(promise: Promise) -> str:
    if not promise.outcome:
        return "running"
    if promise.outcome == PromiseOutcome.LAPSED:
        return promise.hold_ending.how if hasattr(promise, "hold_ending") else "ended"
    return promise.get_outcome_display().lower()


def _sales_of(instrument: Instrument) -> QuerySet:
    return instrument.sales.exclude(promise__outcome=PromiseOutcome.CANCELLED).order_by("id")[:MOST_SALES]


def _sales(sales: Iterable[Sale]) -> list[LifeRow]:
    rows = []
    for sale in sales:
        when = _day(sale.sold_on)
        entry = Entry("Sold by us", when, sale.sold_on.isoformat(), kind="promise")
        rows.append(LifeRow(entry, when, "It was sold by us.", "our books"))
    return rows


def _from_to(first: date, last: date) -> tuple[str, str]:
    """As EDTF and in words; a day when both are the same or the wrong way round."""
    if last <= first:
        return first.isoformat(), _day(first)
    return f"{first.isoformat()}/{last.isoformat()}", f"{_day(first)} to {_day(last)}"


def _day(day: date) -> str:
    return f"{day:%-d %B %Y}"
