"""The stock as a list: each instrument with what the shop's own tables say of its state, in one query."""

from django.db.models import Exists, F, IntegerField, OuterRef, QuerySet, Subquery
from django.db.models.lookups import GreaterThanOrEqual

from instruments.models import Instrument, Photo
from shop.models import AskingPrice, Listing, Promise, Purchase, TakenIn
from shop.ownership import customers_own, not_to_offer, stock_only, without
from shop.states import PromiseKind
from workorders.models import WorkItem

RANGES = {"height": ("height_cm", Instrument, "pk"), "price": ("amount_minor", AskingPrice, "instrument")}
FEW = {"height": 3_000, "price": 20_000}  # a price takes longer to ask every instrument for
STATES = {
    "in_stock": "In stock",
    "free": "In stock and promised to nobody",
    "window": "In the window",
    "hold": "On hold",
    "trial": "Out on home trial",
    "open_work": "With open work",
    "sold": "Sold",
    "customers": "Customers’ own, here for work",
    "all": "Everything, sold and customers’ too",
}
ALL_BUT_KEPT_OUT = {"in_stock", "free", "all"}
AMONG_NEWEST = 1_500
SORTS = {
    "newest": ("Newest first", ["-id"]),
    "maker": ("Maker", ["maker", "-id"]),
    "tallest": ("Tallest first", [F("height_cm").desc(nulls_last=True), "-id"]),
    "smallest": ("Smallest first", [F("height_cm").asc(nulls_last=True), "-id"]),
    "oldest": ("Oldest first", [F("made_earliest").asc(nulls_last=True), "-id"]),
    "cheapest": ("Price, lowest first", [F("price_now").asc(nulls_last=True), "-id"]),
    "dearest": ("Price, highest first", [F("price_now").desc(nulls_last=True), "-id"]),
}


def stock_with_state() -> QuerySet[Instrument]:
    """With price_now, promise_kind and promise_until, is_sold, is_in_window, has_open_work, first_photo, and
    here_for_work_until where it is a customer's own."""
    promise = Promise.objects.open().filter(instrument=OuterRef("pk"))
    taken_in = TakenIn.objects.here().filter(instrument=OuterRef("pk"))
    photo = Photo.objects.kept().filter(instrument=OuterRef("pk")).order_by("position", "id")
    return Instrument.objects.annotate(
        price_now=newest_price(),
        promise_kind=Subquery(promise.values("kind")[:1]),
        is_sold=Exists(promise.filter(kind=PromiseKind.SALE)),
        promise_until=Subquery(promise.values("until")[:1]),
        is_in_window=Exists(Listing.objects.in_window().filter(instrument=OuterRef("pk"))),
        here_for_work_until=Subquery(taken_in.values("until")[:1]),
        has_open_work=Exists(WorkItem.objects.open().filter(order__instrument=OuterRef("pk"))),
        first_photo=Subquery(photo.values("pk")[:1]),
    )


def newest_price(instrument: str = "pk") -> Subquery:
    """Of the instrument that stands in the outer query under that name."""
    prices = AskingPrice.objects.filter(instrument=OuterRef(instrument)).order_by("-id")
    return Subquery(prices.values("amount_minor")[:1])


def keys_in_range(name: str, wanted: dict) -> QuerySet:
    """Of instruments whose height, or any price that was ever asked for them, lies in the range asked for.

    The price of today is among those: where they are few, no other instrument need be asked for its own.
    """
    field, rows, key = RANGES[name]
    bounds = {f"{field}__gte": wanted.get(f"{name}_from"), f"{field}__lte": wanted.get(f"{name}_to")}
    bounds = {lookup: bound for lookup, bound in bounds.items() if bound is not None}
    return rows.objects.filter(**bounds).order_by().values(key)


def narrow_ranges(wanted: dict) -> tuple[str, ...]:
    """The names of those that are asked for and that few rows lie in: a list had best begin with these."""
    asked = (name for name in RANGES if {wanted.get(f"{name}_from"), wanted.get(f"{name}_to")} != {None})
    return tuple(name for name in asked if keys_in_range(name, wanted)[: FEW[name] + 1].count() <= FEW[name])


def with_purchase(stock: QuerySet[Instrument]) -> QuerySet[Instrument]:
    """For those who may see costs: what was paid, and when."""
    newest = Purchase.objects.filter(instrument=OuterRef("pk")).order_by("-id")
    return stock.annotate(
        bought_for=Subquery(newest.values("price_minor")[:1]),
        bought_on=Subquery(newest.values("bought_on")[:1]),
    )


def in_state(stock: QuerySet[Instrument], state: str) -> QuerySet[Instrument]:
    """The instruments of one of STATES; sold ones and customers' own only where they are asked for.

    What is rare (held, lent, on the bench) is looked up where it stands and not asked of every instrument.
    """
    match state:
        case "customers":
            return customers_own(stock).filter(pk__in=TakenIn.objects.here().values("instrument"))
        case "sold":
            return stock_only(stock).filter(promises__closed_at__isnull=True, promises__kind=PromiseKind.SALE)
    stock = without(stock, *kept_out(state))
    match state:
        case "window":
            return stock.filter(pk__in=Listing.objects.in_window().values("instrument"))
        case "hold" | "trial":
            return stock.filter(pk__in=Promise.objects.open().filter(kind=state).values("instrument"))
        case "open_work":
            return stock.filter(pk__in=WorkItem.objects.open().values("order__instrument"))
    return stock


def kept_out(state: str) -> tuple[QuerySet, ...]:
    """Rows of which each keeps its instrument out of that state.

    Out of one of ALL_BUT_KEPT_OUT nothing else keeps an instrument.
    """
    promised = Promise.objects.open()
    match state:
        case "all":
            return ()
        case "free":
            return (*not_to_offer(), promised)
        case "window" | "hold" | "trial":
            return not_to_offer()
    return (*not_to_offer(), promised.filter(kind=PromiseKind.SALE))


def surely_many(state: str, count: int) -> QuerySet:
    """Its one row says, as `so`, whether there are surely `count` in that state of ALL_BUT_KEPT_OUT.

    That is told by the newest alone: no more of them can be kept out than there are rows that keep out. To
    ask each of them takes several times longer. Keys begin at 1: there is no row where all are below `count`.
    """
    before = OuterRef("pk") - AMONG_NEWEST
    left = NumberOf(Instrument.objects.filter(pk__gt=before))
    for rows in kept_out(state):
        left = left - NumberOf(rows.filter(instrument__gt=before))
    newest = Instrument.objects.filter(pk__gte=count).order_by("-pk")
    return newest.annotate(so=GreaterThanOrEqual(left, count)).values("so")[:1]


class NumberOf(Subquery):
    """How many rows a queryset has."""

    template = "(SELECT COUNT(*) FROM (%(subquery)s) AS counted)"
    output_field = IntegerField()

    def __init__(self, rows: QuerySet):
        super().__init__(rows.order_by().values("pk"))


def in_order(stock: QuerySet[Instrument], sort: str, state: str) -> QuerySet[Instrument]:
    """In the order of one of SORTS. The newest that are sold are met by their sales, without the others."""
    if (sort, state) == ("newest", "sold"):
        return stock.order_by("-promises__instrument_id")
    return stock.order_by(*SORTS[sort][1])


def state_words(instrument: Instrument) -> str:
    """What stands beside an instrument in the list: "on home trial until 3 May 2026", "in the window"."""
    if instrument.here_for_work_until:
        return f"Customer’s own, until {instrument.here_for_work_until:%-d %B %Y}"
    if instrument.promise_kind:
        until = f" until {instrument.promise_until:%-d %B %Y}" if instrument.promise_until else ""
        return PROMISED[instrument.promise_kind] + until
    return "In the window" if instrument.is_in_window else ""


PROMISED = {PromiseKind.HOLD: "On hold", PromiseKind.TRIAL: "On home trial", PromiseKind.SALE: "Sold"}
