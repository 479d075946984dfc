"""Rows of the stock list, each as plain values, read for one page at a time."""

from datetime import date
from functools import cache, lru_cache
from typing import NamedTuple

from django.db import connection
from django.db.models import Exists, OuterRef, Subquery

from instruments.drawings.instrument_picture import Subject, subject_of
from instruments.models import Instrument, Photo
from instruments.models.worded import Worded, beforehand, read_as
from shop.models import Listing, Promise, ShopProfile, TakenIn
from shop.stock import newest_price, state_words
from workorders.models import WorkItem

# What of the instrument a row and its drawing are made from, and what stands in other tables; nothing else
# is read.
SAID = (
    "stock_number",
    "kind",
    "maker",
    "name_on_fall",
    "model",
    "made",
    "made_basis",
    "height_cm",
    "length_cm",
    "width_cm",
    "first_key",
    "key_count",
    "pedals",
    "stringing",
    "damping",
    "case_wood",
    "case_finish",
    "place",
    "place_note",
)
STANDS = (
    "price_now",
    "promise_kind",
    "promise_until",
    "here_for_work_until",
    "has_open_work",
    "first_photo",
)


class StockRow(NamedTuple):
    """What the list says of one instrument. Two rows that say the same are equal, and are drawn once."""

    stock_number: str
    name: str
    sentence: str
    where: str
    price_minor: int | None
    is_customers: bool
    state: str
    state_mark: str
    has_open_work: bool
    first_photo: int | None
    subject: Subject | None  # what is drawn where there is no photograph


def stock_rows(keys: list[int]) -> list[StockRow]:
    """The rows of these instruments, in this order; three queries, however many they are."""
    if not keys:
        return []
    law = connection.vendor, ShopProfile.jurisdiction_now()
    in_window = set(_in_window(*law).among("instrument_id", keys).first_column())
    read = {row[0]: row for row in _with_state(connection.vendor).among("id", keys).rows()}
    return [_row(read[key], key in in_window) for key in keys if key in read]


@cache
def _in_window(vendor: str, jurisdiction: str) -> Worded:
    return Worded.of(Listing.objects.in_window().order_by().values("instrument_id"))


@beforehand
def _with_state(vendor: str) -> Worded:
    """As `stock_with_state` without the window, which is asked once for the whole page."""
    promise = Promise.objects.open().filter(instrument=OuterRef("pk")).order_by("-id")
    taken_in = TakenIn.objects.here().filter(instrument=OuterRef("pk"))
    photo = Photo.objects.kept().filter(instrument=OuterRef("pk")).order_by("position", "id")
    return Worded.of(
        Instrument.objects.order_by()
        .annotate(
            price_now=newest_price(),
            promise_kind=Subquery(promise.values("kind")[:1]),
            promise_until=Subquery(promise.values("until")[:1]),
            here_for_work_until=Subquery(taken_in.values("until")[:1]),
            has_open_work=Exists(WorkItem.objects.open().filter(order__instrument=OuterRef("pk"))),
            first_photo=Subquery(photo.values("pk")[:1]),
        )
        .values_list("id", *SAID, *STANDS)
    )


def _day(found: date | str | None) -> date | None:
    """SQLite keeps days as words, and knows a day only by its column."""
    return date.fromisoformat(found) if isinstance(found, str) else found


@lru_cache(maxsize=2_000)
def _row(read: tuple, is_in_window: bool) -> StockRow:
    """Of one row as the database gave it; the same is put into words once."""
    instrument = read_as(Instrument, dict(zip(("id", *SAID), read, strict=False)))
    for name, value in zip(STANDS, read[1 + len(SAID) :], strict=True):
        setattr(instrument, name, value)
    instrument.is_in_window = is_in_window
    instrument.promise_until = _day(instrument.promise_until)
    instrument.here_for_work_until = _day(instrument.here_for_work_until)
    where = instrument.get_place_display()
    mark = {None: "done", "sale": "solid"}.get(instrument.promise_kind, "out")
    return StockRow(
        stock_number=instrument.stock_number,
        name=f"{instrument.maker_name} {instrument.model}".rstrip(),
        sentence=instrument.sentence,
        where=f"{where}, {instrument.place_note}" if instrument.place_note else where,
        price_minor=instrument.price_now,
        is_customers=bool(instrument.here_for_work_until),
        state=state_words(instrument),
        state_mark=mark,
        has_open_work=bool(instrument.has_open_work),
        first_photo=instrument.first_photo,
        subject=None if instrument.first_photo else subject_of(instrument),
    )
