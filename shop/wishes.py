"""What is looked for, held against leads, arrivals and the window, with the reasons for and against."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from django.conf import settings
from django.db.models import Exists, QuerySet
from django.urls import reverse
from django.utils import timezone

from instruments.models import Instrument
from instruments.models.together import asking
from shop.calc.wanting import Match, Offered, Wish, match, may_fit
from shop.models import Lead, Person, Wanted
from shop.offered import (
    free_stock,
    is_in_window,
    makers_of,
    offered_by,
    offered_of,
    offs_from,
    touch_means,
)
from workorders.currency import in_words

MOST_WISHES = 200
MOST_HELD_AGAINST = 300
MOST_ON_A_CARD = 3
IN_THE_WINDOW = "in the window"


@dataclass(frozen=True)
class Found:
    """One wish met by one lead or one instrument."""

    wanted: Wanted
    words: str
    detail: str
    url: str
    match: Match
    is_offered: bool = False  # to us, and not here yet
    standing: str = ""


def wish_of(wanted: Wanted) -> Wish:
    return Wish(
        maker=wanted.maker,
        kind=wanted.kind,
        least_cm=wanted.least_cm,
        most_cm=wanted.most_cm,
        least_keys=wanted.least_keys,
        most_minor=wanted.most_minor,
        touch=wanted.touch,
        touch_within_g=wanted.touch_within_g,
        tone=wanted.tone,
        finish=wanted.finish,
        place=wanted.place,
        until=wanted.until,
        must=frozenset(wanted.must),
    )


def _wish(wanted: Wanted) -> Wish:
    """Made once for a row that is held against hundreds."""
    if "as_wish" not in wanted.__dict__:
        wanted.as_wish = _the_same(wish_of(wanted))
    return wanted.as_wish


@lru_cache(maxsize=2 * MOST_WISHES)
def _the_same(wish: Wish) -> Wish:
    """One for all that ask for the same, so that they are known again at a glance."""
    return wish


def open_wishes() -> list[Wanted]:
    return list(_open_wishes())


def _open_wishes() -> QuerySet[Wanted]:
    return Wanted.objects.open().select_related("person")[:MOST_WISHES]


def wants_of(person: Person) -> list[tuple[Wanted, list[Found]]]:
    """Each open wish of theirs, with the first of what has turned up."""
    wishes = list(person.whole("wanted").open().select_related("person")[:MOST_WISHES])
    found = by_wish(all_found(wishes))
    return [(wish, found.get(wish.pk, [])[:MOST_ON_A_CARD]) for wish in wishes]


def found_for_lead(lead: Lead, wishes: Iterable[Wanted] | None = None) -> list[Found]:
    wishes = open_wishes() if wishes is None else wishes
    if not (fits := _fits(offered_by(lead), wishes)):
        return []
    told = {
        "words": lead.maker,
        "detail": f"offered by {lead.from_whom}, {lead.get_state_display().lower()}",
        "url": lead.get_absolute_url(),
        "is_offered": True,
        "standing": "offered to us",
    }
    return [Found(wanted, match=why, **told) for wanted, why in fits]


def found_for_instrument(
    instrument: Instrument, wishes: Iterable[Wanted] | None = None, touch_off_g=None
) -> list[Found]:
    """`instrument` as `free_stock` brings it, else without its price and its listing."""
    wishes = open_wishes() if wishes is None else wishes
    if not (fits := _fits(offered_of(instrument, touch_off_g), wishes)):
        return []
    told = {
        "words": f"{instrument.maker_name} {instrument.stock_number}",
        "detail": instrument.sentence,
        "url": reverse("instrument", args=[instrument.stock_number]),
        "standing": IN_THE_WINDOW if is_in_window(instrument) else "not ready to offer yet",
    }
    return [Found(wanted, match=why, **told) for wanted, why in fits]


@asking
def who_looks_for(instrument: Instrument):
    """`Found`, for the page of an instrument: none where it is promised, or not ours to offer."""
    free, means = free_stock().filter(pk=instrument.pk), touch_means([instrument.pk])
    wishes, free, means = yield _open_wishes(), free, means
    offs = offs_from(means)
    return in_order(each for one in free for each in found_for_instrument(one, wishes, offs.get(one.pk)))


@asking
def all_found(wishes: list[Wanted] | None = None):
    """`Found`: every open wish against the leads that wait and what stands in stock unpromised."""
    if wishes is not None and not wishes:
        return []
    there_are_any = Exists(Wanted.objects.open())  # without one nothing else is read
    leads = Lead.objects.waiting().filter(there_are_any).select_related("person")[:MOST_HELD_AGAINST]
    stock = free_stock().filter(there_are_any)[:MOST_HELD_AGAINST]
    asked = _open_wishes() if wishes is None else Wanted.objects.none()
    asked, leads, stock = yield asked, leads, stock
    wishes = list(asked) if wishes is None else wishes
    near = _Near(wishes)
    found = [each for lead in leads for each in found_for_lead(lead, near.to(lead.maker, lead.kind))]
    return found + (yield from found_in.later(stock, wishes))


@asking
def found_in(instruments: Iterable[Instrument], wishes: list[Wanted]):
    """`Found`, of instruments as `free_stock` brings them; how they were weighed is read if it counts."""
    near, offs = _Near(wishes), {}
    if any(wish.touch for wish in wishes):
        offs = offs_from((yield (touch_means(each.pk for each in instruments),))[0])
    return [
        each
        for one in instruments
        for each in found_for_instrument(one, near.to(makers_of(one), one.kind), offs.get(one.pk))
    ]


class _Near:
    """The wishes that a maker and a kind may answer to: hundreds of pianos are of a few dozen such pairs."""

    def __init__(self, wishes: list[Wanted]):
        self.wishes, self.known = wishes, {}

    def to(self, maker: str, kind: str) -> "_Held":
        if (maker, kind) not in self.known:
            self.known[maker, kind] = _Held(each for each in self.wishes if may_fit(_wish(each), maker, kind))
        return self.known[maker, kind]


class _Held(list):
    """Wishes that one piano after the other is held against, with what they ask for in one piece."""

    def __init__(self, wishes: Iterable[Wanted]):
        super().__init__(wishes)
        self.asked_for = AskedFor(_wish(each) for each in self)


class AskedFor(tuple):
    """Wishes in one piece, whose hash is worked out once."""

    def __hash__(self) -> int:
        if "known" not in self.__dict__:
            self.known = super().__hash__()
        return self.known


def by_wish(found: Iterable[Found]) -> dict[int, list[Found]]:
    """The matches of each wish by its key, what least speaks against first."""
    grouped: dict[int, list[Found]] = {}
    for each in in_order(found):
        grouped.setdefault(each.wanted.pk, []).append(each)
    return grouped


def in_order(found: Iterable[Found]) -> list[Found]:
    """What least speaks against first; of those alike, what is in the window."""
    return sorted(found, key=lambda each: (*each.match.order, each.standing != IN_THE_WINDOW))


def _fits(offered: Offered, wishes: Iterable[Wanted]) -> list[tuple[Wanted, Match]]:
    held = wishes if isinstance(wishes, _Held) else _Held(wishes)
    if not held:
        return []
    fits = _matches(offered, held.asked_for, timezone.localdate(), settings.CURRENCY)
    return [(held[place], why) for place, why in fits]


@lru_cache(maxsize=1_000)
def _matches(offered: Offered, asked_for: AskedFor, on: date, currency: str) -> tuple:
    """By its place each of these wishes that it fits, with its `Match`: worked out once a day."""
    held = (match(wish, offered, on=on, money=in_words) for wish in asked_for)
    return tuple((place, why) for place, why in enumerate(held) if why)
