"""Wanted makes held against leads and arrivals, with the reason for each match."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Subquery
from django.urls import reverse

from instruments.models import Instrument
from instruments.states import Kind
from shop.calc.wanting import Match, Offered, Wish, match
from shop.models import AskingPrice, Lead, Promise, Wanted
from shop.ownership import without_customers_own

MOST_WISHES = 200
MOST_HELD_AGAINST = 300


@dataclass(frozen=True)
class Found:
    """One wish met by one lead or one instrument."""

    wanted: Wanted
    words: str
    detail: str
    url: str
    match: Match


def wish_of(wanted: Wanted) -> Wish:
    return Wish(
        maker=wanted.maker,
        kind=wanted.kind,
        least_cm=wanted.least_cm,
        most_cm=wanted.most_cm,
        least_keys=wanted.least_keys,
        most_minor=wanted.most_minor,
    )


def open_wishes() -> list[Wanted]:
    return list(Wanted.objects.open().select_related("person")[:MOST_WISHES])


def found_for_lead(lead: Lead, wishes: Iterable[Wanted] | None = None) -> list[Found]:
    offered = Offered(lead.maker, lead.kind, lead.height_cm, lead.key_count, lead.asking_minor)
    detail = f"offered by {lead.from_whom}, {lead.get_state_display().lower()}"
    return _found(
        offered, open_wishes() if wishes is None else wishes, lead.maker, detail, lead.get_absolute_url()
    )


def found_for_instrument(instrument: Instrument, wishes: Iterable[Wanted] | None = None) -> list[Found]:
    """`instrument` may carry `asked_minor`, its asking price, from the query that brought it."""
    size = instrument.height_cm if instrument.kind == Kind.UPRIGHT else instrument.length_cm
    maker = f"{instrument.maker} {instrument.name_on_fall}"
    price = getattr(instrument, "asked_minor", None)
    offered = Offered(maker.strip(), instrument.kind, size, instrument.key_count, price)
    wishes = open_wishes() if wishes is None else wishes
    words = f"{instrument.maker_name} {instrument.stock_number}"
    return _found(
        offered, wishes, words, instrument.sentence, reverse("instrument", args=[instrument.stock_number])
    )


def all_found() -> list[Found]:
    """Every open wish against the leads that wait and what stands in stock unpromised, newest first."""
    wishes = open_wishes()
    if not wishes:
        return []
    leads = Lead.objects.waiting().select_related("person")[:MOST_HELD_AGAINST]
    found = [each for lead in leads for each in found_for_lead(lead, wishes)]
    return found + [
        each for one in free_stock()[:MOST_HELD_AGAINST] for each in found_for_instrument(one, wishes)
    ]


def free_stock():
    newest = AskingPrice.objects.filter(instrument=OuterRef("pk")).values("amount_minor")[:1]
    promised = Promise.objects.open().filter(instrument=OuterRef("pk"))
    stock = without_customers_own(Instrument.objects.all()).exclude(Exists(promised))
    return stock.annotate(asked_minor=Subquery(newest)).order_by("-id")


def _found(offered: Offered, wishes: Iterable[Wanted], words: str, detail: str, url: str) -> list[Found]:
    held = ((wanted, match(wish_of(wanted), offered)) for wanted in wishes)
    return [Found(wanted, words, detail, url, why) for wanted, why in held if why]
