"""Opening and closing the shop's word on one instrument."""

from datetime import date, timedelta

from django.db import IntegrityError, transaction
from django.db.models import QuerySet
from django.utils import timezone

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.models import Instrument
from instruments.models.together import asked, together
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocked, Refused, refuse_if_blocked
from shop.actions.ledger import NotEnough, lock_person, refund, release_to_credit, take_payment, value_in
from shop.actions.waiting_list import serve
from shop.calc.hold_terms import most_kept_minor
from shop.models import HoldEnding, HoldTerms, Listing, Person, Promise, ShopProfile
from shop.problems import ACT_OF, promise_problems, what_may_refuse
from shop.states import GiveBack, LetGoBy, ListingState, PromiseKind, PromiseOutcome
from workorders.currency import in_words

HOLD_SERIES, HOLD_PREFIX = "hold", "HD"


class AlreadyClosed(Refused):
    """Somebody ended this promise first."""


def open_promise(
    *,
    instrument: Instrument,
    person: Person,
    kind: str,
    price_minor: int | None,
    until: date | None = None,
    note: str = "",
    by,
    on: date,
) -> Promise:
    """Promise an instrument to one person. Raises Blocked when it is promised or may not be dealt in.

    The partial unique constraint decides between two at the same moment; the loser is told who has it.
    """
    closed, problems = together(
        asked.later(_if_closed(person.pk)), what_may_refuse.later(instrument, act=ACT_OF[kind])
    )
    if closed:
        raise Refused("That card was closed when they asked to be erased. Make a new one.")
    refuse_if_blocked(problems)
    promise = Promise(
        instrument=instrument,
        person=person,
        kind=kind,
        price_minor=price_minor,
        until=until,
        note=note,
        opened_on=on,
        opened_by=by,
    )
    try:
        with transaction.atomic():
            save_tracked(promise, by=by, why=f"{PromiseKind(kind).label} for {person} opened")
            serve(instrument=instrument, person=person, by=by, on=on)
            if kind != PromiseKind.HOLD:
                withdraw_listing_of(
                    instrument, by=by, why=f"Left the window: {PromiseKind(kind).label.lower()}"
                )
    except IntegrityError:
        problems = promise_problems(instrument)
        if not problems:
            raise
        raise Blocked(problems) from None
    return promise


@of_one
def _if_closed() -> QuerySet:
    return Person.objects.filter(pk=ASKED, closed_on__isnull=False).values_list("pk")


def close_promise(*, promise: Promise, outcome: str, by) -> Promise:
    """Close an open promise once. Must run inside the transaction of the act that closes it."""
    locked = Promise.objects.select_for_update().get(pk=promise.pk)
    if not locked.is_open:
        raise AlreadyClosed(
            f"{locked.get_kind_display()} was ended before: {locked.get_outcome_display().lower()}."
        )
    locked.outcome, locked.closed_at, locked.closed_by = outcome, timezone.now(), by
    save_tracked(locked, by=by, why=f"{locked.get_kind_display()}: {PromiseOutcome(outcome).label.lower()}")
    return locked


def withdraw_listing_of(instrument: Instrument, *, by, why: str) -> None:
    if listing := _published_listing(instrument.pk).alone().first():
        listing.state = ListingState.WITHDRAWN
        save_tracked(listing, by=by, why=why)


@of_one
def _published_listing() -> QuerySet[Listing]:
    return Listing.objects.filter(instrument=ASKED, state=ListingState.PUBLISHED)[:1]


@transaction.atomic
def place_hold(
    *,
    instrument: Instrument,
    person: Person,
    until: date,
    deposit_minor: int = 0,
    method: str = "",
    note: str = "",
    full_until: date | None = None,
    keep_percent: int | None = None,
    keep_most_minor: int | None = None,
    by,
    on: date,
) -> Promise:
    """Keep an instrument for one person until a day, with a deposit if one was taken.

    The terms of the deposit are kept with it; what is not given here is as the shop usually has it.
    """
    lock_person(person)
    shop, asking = ShopProfile.current(), instrument.asking_prices.first()
    if full_until is None:
        full_until = min(until, on + timedelta(days=shop.hold_full_days))
    if full_until > until:
        words = f"The hold itself ends on {until:%-d %B %Y}: the deposit is given back up to then."
        raise Refused(words, about=("full_until",))
    if asking and deposit_minor > asking.amount_minor:
        words = f"The deposit is more than the price asked, {in_words(asking.amount_minor)}."
        raise Refused(words, about=("deposit_minor",))
    promise = open_promise(
        instrument=instrument,
        person=person,
        kind=PromiseKind.HOLD,
        price_minor=None,
        until=until,
        note=note,
        by=by,
        on=on,
    )
    HoldTerms.objects.create(
        number=next_number(HOLD_SERIES, on=on, prefix=HOLD_PREFIX),
        promise=promise,
        deposit_minor=deposit_minor,
        asking_minor=asking.amount_minor if asking else None,
        until=until,
        full_until=full_until,
        keep_percent=shop.hold_keep_percent if keep_percent is None else keep_percent,
        keep_most_minor=shop.hold_keep_most_minor if keep_most_minor is None else keep_most_minor,
        recorded_by=by,
    )
    if deposit_minor:
        take_payment(promise=promise, amount_minor=deposit_minor, method=method, by=by, on=on)
    return promise


@transaction.atomic
def extend_hold(*, promise: Promise, until: date, why: str, by) -> Promise:
    """Move the end of an open hold to a later day, with what was written between the two."""
    locked = Promise.objects.select_for_update().get(pk=promise.pk)
    if not locked.is_open:
        raise AlreadyClosed(f"The hold was ended before: {locked.get_outcome_display().lower()}.")
    if until <= locked.until:
        words = f"It is held until {locked.until:%-d %B %Y} already. Give a later day."
        raise Refused(words, about=("until",))
    locked.until = until
    save_tracked(locked, by=by, why=f"Hold extended to {until:%-d %B %Y} in writing: {why}")
    return locked


@transaction.atomic
def release_hold(
    *,
    promise: Promise,
    let_go_by: str = LetGoBy.CUSTOMER,
    give_back: str = GiveBack.CREDIT,
    method: str = "",
    kept_minor: int = 0,
    kept_reason: str = "",
    told_how: str = "",
    by,
    on: date,
) -> Promise:
    """End a hold; what was paid on it is given back, or becomes credit, less what the terms let us keep."""
    lock_person(promise.person)
    if let_go_by == LetGoBy.NOBODY and promise.until and on <= promise.until:
        words = f"Its last day, {promise.until:%-d %B %Y}, has not passed. Say who lets it go."
        raise Refused(words, about=("let_go_by",))
    closed = close_promise(promise=promise, outcome=PromiseOutcome.LAPSED, by=by)
    paid = value_in(closed)
    _refuse_unless_agreed(closed, paid, let_go_by, kept_minor, kept_reason, told_how, on)
    rest = paid - kept_minor
    if give_back == GiveBack.REFUND:
        refund(promise=closed, amount_minor=rest, method=method, by=by, on=on)
    else:
        release_to_credit(promise=closed, amount_minor=rest, note="Hold released", by=by, on=on)
    HoldEnding.objects.create(
        promise=closed,
        let_go_by=let_go_by,
        give_back=give_back,
        paid_minor=paid,
        kept_minor=kept_minor,
        kept_reason=kept_reason.strip(),
        told_how=told_how.strip(),
        ended_on=on,
        recorded_by=by,
    )
    return closed


def most_kept(promise: Promise, *, let_go_by: str, on: date) -> int:
    """What the terms of this hold let the shop keep at most; nothing where none were written down."""
    terms = getattr(promise, "hold_terms", None)
    return most_kept_minor(
        terms.of_deposit if terms else None,
        paid_minor=value_in(promise),
        on=on,
        shop_lets_go=let_go_by == LetGoBy.SHOP,
    )


def _refuse_unless_agreed(promise, paid, let_go_by, kept_minor, kept_reason, told_how, on) -> None:
    if not kept_minor:
        return
    most = most_kept(promise, let_go_by=let_go_by, on=on)
    if kept_minor < 0 or kept_minor > paid or kept_minor > most:
        raise NotEnough(
            f"By the terms of this hold no more than {in_words(most)} may be kept.", about=("kept_minor",)
        )
    if not kept_reason.strip():
        raise Refused("Say what the loss is that is kept for.", about=("kept_reason",))
    if not told_how.strip():
        raise Refused("Say how the customer was told what is kept.", about=("told_how",))
