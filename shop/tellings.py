"""Whom to tell of what came into the window: those who agreed to it, with the letter prepared for them."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.core import signing
from django.db.models import Exists, F, OuterRef, QuerySet
from django.urls import reverse
from django.utils import timezone

from instruments.models import Instrument
from instruments.models.together import asking
from shop.calc.reminders import one_line
from shop.calc.wanting import Match
from shop.enquiry_words import signed
from shop.models import Listing, ShopProfile, Telling, Wanted
from shop.offered import free_stock
from shop.reminder_words import Letter
from shop.wish_states import TellingState
from shop.wishes import found_in
from workorders.currency import in_words

SALT = "shop.tell_no_more"
MOST_WISHES = 500
MOST_INSTRUMENTS = 100
MOST_TRIES = 10
NO_ADDRESS = (
    "No letter is sent before the address of the window on the web stands in the shop’s terms: every letter "
    "holds a link by which they are told no more."
)


@dataclass(frozen=True)
class ToTell:
    """One wish, one instrument in the window that fits it, and why."""

    wanted: Wanted
    instrument: Instrument
    match: Match
    telling: Telling | None = None  # one that failed

    @property
    def recipient(self) -> str:
        return self.wanted.person.standing_card.email.lower()

    @property
    def url(self) -> str:
        return reverse("shop:wanted_tell", args=[self.wanted.pk, self.instrument.stock_number])

    def __str__(self) -> str:
        return f"{self.instrument.stock_number}, to {self.recipient}"


def wishes_told() -> list[Wanted]:
    """Open, agreed to and not taken back, of people who can be reached by e-mail."""
    return _reached(_in_turn(_wishes_told()))


def _in_turn(wishes: QuerySet[Wanted]) -> QuerySet[Wanted]:
    return wishes.select_related("person__merged_into").order_by("id")[:MOST_WISHES]


def _wishes_told() -> QuerySet[Wanted]:
    told = Wanted.objects.open().filter(told_agreed_on__isnull=False, told_ended_on__isnull=True)
    return told.filter(person__isnull=False)


def _reached(wishes: Iterable[Wanted]) -> list[Wanted]:
    cards = ((each, each.person.standing_card) for each in wishes)
    return [each for each, card in cards if card.email and card.closed_on is None]


@asking
def to_tell(wishes: Iterable[Wanted] | None = None, *, stock_number: str = ""):
    """`ToTell`: what came into the window since they agreed, fits without a word against it, and is not told.

    In a fixed number of queries.
    """
    if wishes is None:
        wishes = _reached((yield (_in_turn(_wishes_told()),))[0])
    wishes = list(wishes)
    if not wishes:
        return []
    shown = Listing.objects.in_window().filter(instrument=OuterRef("pk"))
    rows = free_stock().filter(Exists(shown)).annotate(shown_since=F("listing__first_published_at"))
    rows = rows.filter(stock_number=stock_number) if stock_number else rows[:MOST_INSTRUMENTS]
    rows, done = yield rows, Telling.objects.filter(wanted__in=wishes)
    pianos = {each.get_absolute_url(): each for each in rows}
    done = {(each.wanted_id, each.instrument_id): each for each in done}
    fitting = yield from found_in.later(pianos.values(), wishes)
    found = []
    for each in fitting:
        piano = pianos[each.url]
        telling = done.get((each.wanted.pk, piano.pk))
        if not each.match.against and _is_new(each.wanted, piano) and _may_go(telling):
            found.append(ToTell(each.wanted, piano, each.match, telling))
    return found


def _is_new(wanted: Wanted, piano) -> bool:
    return timezone.localdate(piano.shown_since) >= wanted.told_agreed_on


def _may_go(telling: Telling | None) -> bool:
    return telling is None or (telling.state == TellingState.FAILED and telling.tries < MOST_TRIES)


def letter_of(due: ToTell, shop: ShopProfile) -> Letter:
    """Plain text; nothing in it that the window does not say."""
    piano, person = due.instrument, due.wanted.person.standing_card
    lines = [
        f"Dear {one_line(person.name)},",
        "You asked us to tell you when a piano comes in that may suit you. There is one in our window now:",
        f"{one_line(piano.maker_name)} ({piano.stock_number}). {piano.sentence}{_price(piano)}",
        f"Why we thought of you: {'; '.join(due.match.reasons)}.",
        *([f"What we cannot say yet: {'; '.join(due.match.to_ask)}."] if due.match.to_ask else []),
        *([_address(shop, piano.listing.get_absolute_url())] if shop.public_address else []),
        "It is promised to nobody yet, and this letter promises it to nobody.",
        signed(shop),
        f"To be told no more: {_address(shop, no_more_path(due.wanted))}"
        if shop.public_address
        else "To be told no more, answer this letter.",
    ]
    subject = one_line(f"{piano.maker_name} ({piano.stock_number}) is in our window")
    return Letter(subject, "\n\n".join(lines) + "\n")


def _price(piano) -> str:
    return f" It costs {in_words(piano.asked_minor)}." if piano.asked_minor is not None else ""


def _address(shop: ShopProfile, path: str) -> str:
    """The window's address may be that of its page; its host is what counts."""
    scheme, _, rest = shop.public_address.partition("://")
    return f"{scheme}://{rest.split('/')[0]}{path}"


def no_more_path(wanted: Wanted) -> str:
    return reverse("tell_no_more", args=[signing.dumps(wanted.pk, salt=SALT)])


def wanted_by(token: str) -> Wanted | None:
    """The wish that a link in one of our letters is about."""
    try:
        key = signing.loads(token, salt=SALT)
    except (signing.BadSignature, ValueError):
        return None
    return Wanted.objects.filter(pk=key).first()
