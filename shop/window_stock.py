"""What stands in the window, as a list that can be narrowed, and what is like a piano that has left it."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from django.db import connection
from django.db.models import Exists, F, OuterRef, QuerySet

from instruments.models import Recording
from instruments.models.worded import Worded
from instruments.states import CaseWood
from shop.models import AskingPrice, Listing, ShopProfile
from shop.pages import MOST_COUNTED
from shop.showing import Shown, shown
from shop.stock import newest_price
from shop.window_pictures import Picture, pictures_of

ORDERS = {
    "newest": ("Newest first", ["-first_published_at", "-id"]),
    "cheapest": ("Price, lowest first", [F("price_now").asc(nulls_last=True), "-id"]),
    "dearest": ("Price, highest first", [F("price_now").desc(nulls_last=True), "-id"]),
    "smallest": ("Smallest first", [F("instrument__height_cm").asc(nulls_last=True), "-id"]),
    "tallest": ("Tallest first", [F("instrument__height_cm").desc(nulls_last=True), "-id"]),
    "oldest": ("Oldest first", [F("instrument__made_earliest").asc(nulls_last=True), "-id"]),
}
MOST_ALIKE = 3
MOST_LOOKED_THROUGH = 200


@dataclass(frozen=True)
class Card:
    shown: Shown
    picture: Picture | None
    can_be_heard: bool

    @property
    def listing(self) -> Listing:
        return self.shown.listing

    @property
    def instrument(self):
        return self.shown.instrument


def window_stock() -> QuerySet[Listing]:
    """With price_now, and can_be_heard where the public may hear a recording."""
    heard = Recording.objects.public().filter(instrument=OuterRef("instrument"))
    prices = newest_price("instrument")
    return Listing.objects.in_window().annotate(price_now=prices, can_be_heard=Exists(heard))


def cards_of(listings: Iterable[Listing]) -> list[Card]:
    return [_card(each) for each in listings]


def with_pictures(listings: QuerySet[Listing]) -> QuerySet[Listing]:
    return listings.select_related("instrument", "instrument__tone").prefetch_related(
        "instrument__photos", "instrument__asking_prices"
    )


def _card(listing: Listing) -> Card:
    showing = shown(listing)
    pictures = pictures_of(listing, showing.photos[:1])
    return Card(showing, pictures[0] if pictures else None, listing.can_be_heard)


def woods_in_window() -> list[tuple[str, str]]:
    """The woods and finishes there are to choose from today, in the order of the words.

    Of a window that is fuller than anybody leafs through, those of its newest thousand.
    """
    law = connection.vendor, ShopProfile.jurisdiction_now()
    there = set(_woods(*law).first_column())
    return [(value, label) for value, label in CaseWood.choices if value in there]


@cache
def _woods(vendor: str, jurisdiction: str) -> Worded:
    return Worded.of(Listing.objects.in_window().values("instrument__case_wood")[:MOST_COUNTED])


def listings_of(keys: list[int]) -> list[Listing]:
    """These listings in this order, each with whether it can be heard, its photographs and its price."""
    heard = Recording.objects.public().filter(instrument=OuterRef("instrument"))
    found = with_pictures(Listing.objects.annotate(can_be_heard=Exists(heard))).in_bulk(keys)
    return [found[key] for key in keys if key in found]


def others_like(listing: Listing) -> list[Card]:
    """Up to three others of the window: of its kind first, then the nearest in price and in height."""
    instrument = listing.instrument
    price = AskingPrice.objects.filter(instrument=instrument).values_list("amount_minor", flat=True).first()
    others = (
        window_stock()
        .exclude(pk=listing.pk)
        .values_list("pk", "instrument__kind", "price_now", "instrument__height_cm", "can_be_heard")[
            :MOST_LOOKED_THROUGH
        ]
    )

    def unlike(other: tuple) -> tuple:
        pk, kind, other_price, height, _ = other
        return (
            kind != instrument.kind,
            _apart(other_price, price) + _apart(height, instrument.height_cm),
            -pk,
        )

    nearest = {pk: heard for pk, *_, heard in sorted(others, key=unlike)[:MOST_ALIKE]}
    found = with_pictures(Listing.objects.filter(pk__in=nearest)).in_bulk() if nearest else {}
    for pk, each in found.items():
        each.can_be_heard = nearest[pk]
    return cards_of(found[pk] for pk in nearest if pk in found)


def _apart(one, other) -> float:
    """How far two figures lie from each other as a share of the larger; 1 where one of them is not known."""
    if not one or not other:
        return 1.0
    return float(abs(one - other) / max(one, other))
