"""What somebody looks for and what stands here or is offered, as the few lines that Today shows of it.

Hundreds of wishes may be met by hundreds of pianos in tens of thousands of ways. So both are read as bare
columns, wishes that ask for the same are held as one, and all pianos are held against those wishes alone
that come into a line. What `shop.wishes` finds is the same; a test holds the two together.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from django.conf import settings
from django.db.models import Case, Exists, F, QuerySet, TextField, Value, When
from django.urls import reverse
from django.utils import timezone

from instruments.models import Instrument, Tone
from instruments.models.together import asking
from shop.calc.wanting import Match, Offered, Wish, match, may_fit
from shop.models import Lead, Listing, Wanted
from shop.offered import free_stock, offered_by, offered_of, offs_from, touch_means
from shop.waiting_lines import MOST, Group, Waiting
from shop.wishes import MOST_HELD_AGAINST, MOST_WISHES, AskedFor, wish_of
from workorders.currency import in_words

MOST_OF_ONE_WISH = 3
ASKS = (
    "maker",
    "kind",
    "least_cm",
    "most_cm",
    "least_keys",
    "most_minor",
    "touch",
    "touch_within_g",
    "tone",
    "finish",
    "place",
    "until",
    "must",
)
HERE = ("maker", "kind", "name_on_fall", "height_cm", "length_cm", "key_count", "case_wood", "case_finish")
TOLD = ("maker", "kind", "height_cm", "key_count", "asking_minor", "place")


@dataclass(frozen=True)
class _Offers:
    """Pianos of ours or of others, the newest first."""

    heading: str
    pianos: list[tuple[str, tuple]]  # the number of each, and what is known: maker, kind, name on the fall, …
    offered: Callable[..., Offered]  # of what is known
    words: Callable[..., str]  # of the number and what is known
    url: Callable[[str], str]

    def fitting(self, facts: tuple, wishes: AskedFor, on: date) -> tuple[tuple[Wish, Match], ...]:
        return _fitting(self.offered, facts, wishes, on, settings.CURRENCY)


class _Asked(NamedTuple):
    """One who asks: in which place, whose it is, in which columns, and what for."""

    place: int
    name: str
    terms: tuple
    wish: Wish


@asking
def wanted_and_found():
    """What somebody looks for: what stands here, and apart from it what is only offered to us.

    Where something speaks against a match, it stands with the wish and not here.
    """
    wishes, stock, leads = yield _wishes(), _stock(), _leads()
    asked, offs = _by_what_is_asked(wishes), {}
    if any(wish.touch for wish in asked):
        offs = offs_from((yield (touch_means(key for key, *_ in stock),))[0])
    ours = [(number, (*known, offs.get(key))) for key, number, *known in stock]
    others = [(number, (maker, kind, "", *told)) for number, maker, kind, *told in leads]
    each = (
        _Offers("Looked for, and in stock", ours, _ours, _words_of_ours, _url_of_ours),
        _Offers("Looked for, and offered to us", others, _a_lead, _words_of_a_lead, _url_of_a_lead),
    )
    groups = [
        Group(offers.heading, _lines(offers, asked), more_url=reverse("shop:wanted")) for offers in each
    ]
    return [group for group in groups if group.lines]


def _wishes() -> QuerySet:
    return Wanted.objects.open().values_list("person__name", *ASKS)[:MOST_WISHES]


def _stock() -> QuerySet:
    said = (_if_heard("listing__headline"), _if_heard("listing__body"), _if_heard("tone__kept_words"))
    rows = free_stock().filter(Exists(Wanted.objects.open())).select_related(None)
    rows = rows.values_list("pk", "stock_number", *HERE, "asked_minor", "listing__state", *said)
    return rows[:MOST_HELD_AGAINST]


def _leads() -> QuerySet:
    rows = Lead.objects.waiting().filter(Exists(Wanted.objects.open()))
    said = (_if_heard("story"), _if_heard("every_note"))
    return rows.values_list("number", *TOLD, *said)[:MOST_HELD_AGAINST]


def _if_heard(words: str) -> Case:
    """Long words are read only where a wish names a sound: nothing else is looked for in them."""
    heard = Exists(Wanted.objects.open().exclude(tone=""))
    return Case(When(heard, then=F(words)), default=Value(""), output_field=TextField())


def _by_what_is_asked(rows: Iterable[tuple]) -> dict[Wish, list[_Asked]]:
    """Those that ask for the same, in their order."""
    asked: dict[Wish, list[_Asked]] = {}
    for place, (name, *terms, must) in enumerate(rows):
        terms = (*terms, tuple(must))
        whose = "the shop" if name is None else name
        asked.setdefault(wish := _wish(terms), []).append(_Asked(place, whose, terms, wish))
    return asked


@lru_cache(maxsize=2 * MOST_WISHES)
def _wish(terms: tuple) -> Wish:
    return wish_of(_as_row(terms))


def _as_row(terms: tuple) -> Wanted:
    return Wanted(**dict(zip(ASKS, terms, strict=True)))


def _lines(offers: _Offers, asked: dict[Wish, list[_Asked]]) -> list[Waiting]:
    """A line for each that fits; one alone for a wish that many fit, or that names nothing but a kind."""
    on = timezone.localdate()
    first = _first_met(offers, asked, on)
    shown = AskedFor(dict.fromkeys(each.wish for each in first))
    fitting: dict[Wish, list] = {wish: [] for wish in shown}
    for number, facts in offers.pianos if shown else ():
        for wish, why in offers.fitting(facts, shown, on):
            fitting[wish].append((number, facts, why))
    return [line for each in first for line in _lines_of(each, fitting[each.wish], offers)][:MOST]


def _first_met(offers: _Offers, asked: dict[Wish, list[_Asked]], on: date) -> list[_Asked]:
    """The wishes that are met, from the newest piano on: no more than come into a line, as each takes one."""
    near, known, found = {}, set(), []
    for _, facts in offers.pianos:
        if len(found) >= MOST:
            break
        maker, kind, on_fall, *_ = facts
        if (made := (f"{maker} {on_fall}", kind)) not in near:
            near[made] = AskedFor(wish for wish in asked if may_fit(wish, *made))
        new = [wish for wish, _ in offers.fitting(facts, near[made], on) if wish not in known]
        known.update(new)
        found += sorted((each for wish in new for each in asked[wish]), key=lambda each: each.place)
    return found[:MOST]


@lru_cache(maxsize=4 * MOST_HELD_AGAINST)
def _fitting(
    offered: Callable[..., Offered], facts: tuple, wishes: AskedFor, on: date, currency: str
) -> tuple:
    """Those of the wishes that it fits without a word against it, and why: worked out once a day."""
    piano = offered(*facts)
    held = ((wish, match(wish, piano, on=on, money=in_words)) for wish in wishes)
    return tuple((wish, why) for wish, why in held if why and not why.against)


def _lines_of(asked: _Asked, fitting: list[tuple[str, tuple, Match]], offers: _Offers) -> list[Waiting]:
    row, whom = _as_row(asked.terms), f"For {asked.name}"
    if not row.is_vague and len(fitting) <= MOST_OF_ONE_WISH:
        return [
            Waiting(offers.words(number, *facts), f"{whom}: {'; '.join(why.reasons)}", offers.url(number))
            for number, facts, why in fitting
        ]
    count, why = len(fitting), "ask what else matters"
    if row.is_vague:
        why = "nothing but the kind was named: ask what maker or size"
    return [
        Waiting(f"{row.words}: {count} fit{'s' * (count == 1)}", f"{whom}; {why}", reverse("shop:wanted"))
    ]


def _ours(*known) -> Offered:
    *columns, asked_minor, state, headline, body, tone, off = known
    piano = Instrument(**dict(zip(HERE, columns, strict=True)))
    piano.asked_minor = asked_minor
    if state is not None:
        piano.listing = Listing(state=state, headline=headline, body=body)
    if tone:
        piano.tone = Tone(kept_words=tone)
    return offered_of(piano, off)


def _words_of_ours(number: str, maker: str, *_) -> str:
    return f"{Instrument(maker=maker).maker_name} {number}"


def _url_of_ours(number: str) -> str:
    return reverse("instrument", args=[number])


def _a_lead(maker: str, kind: str, _, *told) -> Offered:
    *columns, story, every_note = told
    values = dict(zip(TOLD, (maker, kind, *columns), strict=True))
    return offered_by(Lead(story=story, every_note=every_note, **values))


def _words_of_a_lead(number: str, maker: str, *_) -> str:
    return maker


def _url_of_a_lead(number: str) -> str:
    return reverse("shop:lead_page", args=[number])
