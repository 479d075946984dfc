"""Enquiries: taken from strangers, given to whoever sees to them, and closed with an outcome."""

import hashlib
from datetime import date, datetime, timedelta

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.crypto import salted_hmac

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.models import Instrument
from instruments.problems import Refused
from shop.actions.people import add_person, correct_person
from shop.asking_marks import Opened
from shop.calc.doubtful import bare_words, doubts
from shop.enquiry_states import ABOUT_WORK, EnquiryOutcome
from shop.models import Enquiry, Knock, Person, ShopProfile

FROM_ONE = ((5, timedelta(minutes=10)), (20, timedelta(days=1)))
FROM_ALL = ((60, timedelta(hours=1)),)
REMEMBERED = timedelta(days=1)
SAME_WORDS_WITHIN = timedelta(days=30)


class TooOften(Refused):
    """So many came in so short a time that nothing more is taken for a while."""


def take_enquiry(
    *, asked: dict, trap: str, opened: Opened, address: str, instrument: Instrument | None, by, at: datetime
) -> Enquiry:
    """Keep what a stranger asks. The same form with the same words is kept once, however often it is sent.

    What a machine may have sent is kept as well, in doubt. Raises `TooOften`.
    """
    mark = _mark(opened, asked)
    try:
        with transaction.atomic():
            if earlier := Enquiry.objects.filter(mark_sha256=mark).first():
                return earlier
            _knock(address, at=at)
            return _kept(asked, trap, opened, instrument, mark, by, at)
    except IntegrityError:
        return Enquiry.objects.get(mark_sha256=mark)  # sent twice at once: the other was the first


def _kept(asked, trap, opened: Opened, instrument, mark: str, by, at: datetime) -> Enquiry:
    shop, on = ShopProfile.current(), timezone.localdate(at)
    words = words_mark(asked["message"])
    why = doubts(
        seconds=opened.seconds(at),
        trap=trap,
        texts=(asked["message"], asked["name"]),
        others_with_these_words=_others(words, asked, at),
    )
    enquiry = Enquiry(
        number=next_number("enquiry", on=on, prefix="E"),
        mark_sha256=mark,
        words_sha256=words,
        instrument=instrument,
        came_at=at,
        answer_by=on + timedelta(days=shop.enquiry_days),
        in_doubt=bool(why),
        doubts=" ".join(why),
        handler=shop.work_enquiries_to if asked["about"] in ABOUT_WORK else shop.enquiries_to,
        **asked,
    )
    save_tracked(enquiry, by=by, why=f"{enquiry.number} came in")
    return enquiry


def _mark(opened: Opened, asked: dict) -> str:
    said = repr((opened.nonce, sorted((name, str(value)) for name, value in asked.items())))
    return hashlib.sha256(said.encode()).hexdigest()


def words_mark(message: str) -> str:
    """Keyed, so that the words cannot be guessed from it."""
    return salted_hmac("shop.enquiry.words", bare_words(message), algorithm="sha256").hexdigest()


def _others(words: str, asked: dict, at: datetime) -> int:
    same = Enquiry.objects.filter(words_sha256=words, came_at__gt=at - SAME_WORDS_WITHIN)
    return same.exclude(email=asked["email"], telephone=asked["telephone"]).count()


def _knock(address: str, *, at: datetime) -> None:
    """Count it, unless it is one too many. The profile's row is held: many at once count each other."""
    ShopProfile.objects.select_for_update().filter(pk=1).first()
    Knock.objects.filter(at__lt=at - REMEMBERED).delete()
    marked = salted_hmac("shop.knock", f"{timezone.localdate(at)} {address}", algorithm="sha256").hexdigest()
    own = Knock.objects.filter(address_hmac=marked)
    for knocks, limits in ((own, FROM_ONE), (Knock.objects.all(), FROM_ALL)):
        if any(knocks.filter(at__gt=at - within).count() >= most for most, within in limits):
            raise TooOften("That was very often in a short time.")
    Knock.objects.create(address_hmac=marked, at=at)


@transaction.atomic
def pass_on(*, enquiry: Enquiry, to, why: str, by) -> Enquiry:
    """Give it to a colleague, or with nobody named to whoever sells."""
    enquiry = held(enquiry)
    enquiry.handler = to
    whom = (to.get_full_name() or to.get_username()) if to else "whoever sells"
    save_tracked(enquiry, by=by, why=f"{enquiry.number} passed on to {whom}{f': {why}' if why else ''}")
    return enquiry


@transaction.atomic
def find_real(*, enquiry: Enquiry, by) -> Enquiry:
    """Somebody looked: a person wrote it."""
    enquiry = held(enquiry)
    if enquiry.in_doubt:
        enquiry.in_doubt = False
        save_tracked(enquiry, by=by, why=f"{enquiry.number} looked at: it is real")
    return enquiry


@transaction.atomic
def close_enquiry(*, enquiry: Enquiry, outcome: str, why: str = "", by, on: date) -> Enquiry:
    enquiry = held(enquiry)
    enquiry.outcome, enquiry.closed_why, enquiry.closed_on = outcome, why, on
    ended = EnquiryOutcome(outcome).label
    save_tracked(enquiry, by=by, why=f"{enquiry.number} closed: {ended}")
    return enquiry


@transaction.atomic
def put_asker_on_file(*, enquiry: Enquiry, person: Person | None, by) -> Person:
    """Make who wrote a person of ours, on a card that is there or on a new one.

    What the card lacks of e-mail and telephone is filled in from what they wrote; nothing on it is replaced.
    """
    enquiry = Enquiry.objects.select_for_update().get(pk=enquiry.pk)
    if enquiry.person_id or enquiry.erased_on:
        raise Refused("They are on file already." if enquiry.person_id else "What they wrote was erased.")
    reached = {"email": enquiry.email, "telephone": enquiry.telephone}
    if person is None:
        person = add_person(name=enquiry.name, by=by, **reached)
    elif lacking := {name: value for name, value in reached.items() if value and not getattr(person, name)}:
        person = correct_person(person=person, by=by, **lacking)
    enquiry.person = person
    save_tracked(enquiry, by=by, why=f"{enquiry.number} put on file with the card of {person.name}")
    return person


def held(enquiry: Enquiry) -> Enquiry:
    """The row, locked. Refused where it is closed. Inside a transaction."""
    enquiry = Enquiry.objects.select_for_update().get(pk=enquiry.pk)
    if not enquiry.is_open:
        raise Refused(f"It is closed: {enquiry.get_outcome_display().lower()}.")
    return enquiry
