"""Reminders by e-mail of holds and home trials that end: each mark once to each address, whoever runs it.

An attempt is a row before anything is sent; the database gives each number once, so of two runs at the same
moment one sends. What failed is a row too, and is tried again by the next run while its mark still speaks.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from django.db import IntegrityError, transaction

from shop.actions.letters import ABOUT_ONE_LETTER, in_a_line, send_letter
from shop.calc.reminders import MARKS, mark_due, mark_words
from shop.models import Promise, ReminderAttempt, ReminderResult, ShopProfile
from shop.reminder_words import Letter, letter_to_customer, letter_to_shop
from shop.states import PromiseKind

MOST_TRIES = 10


@dataclass(frozen=True)
class Due:
    promise: Promise
    mark: int
    recipient: str
    write: Callable[..., Letter]

    def __str__(self) -> str:
        return f"{self.promise.instrument.stock_number}, {mark_words(self.mark)}, to {self.recipient}"


@dataclass
class Run:
    sent: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)
    was_broken_off: bool = False


def due_reminders(*, on: date) -> Iterator[Due]:
    """Whom to remind of what today, whether they were already or not."""
    shop = ShopProfile.current()
    rows = Promise.objects.open().filter(kind__in=[PromiseKind.HOLD, PromiseKind.TRIAL])
    rows = rows.filter(until__lte=on + timedelta(days=max(MARKS)))
    rows = rows.select_related("instrument", "person", "trial__terms").order_by("until", "id")
    for promise in rows:
        mark = mark_due(promise.until, on, since=promise.opened_on)
        if mark is None:
            continue
        if shop.email:
            yield Due(promise, mark, shop.email.lower(), letter_to_shop)
        if shop.reminds_customers and promise.person.email:
            yield Due(promise, mark, promise.person.email.lower(), letter_to_customer)


def send_reminders(*, on: date) -> Run:
    """Send what is due and was not sent. Never inside a transaction: a mail server may keep us waiting."""
    run, shop = Run(), ShopProfile.current()
    for due in due_reminders(on=on):
        attempt = _claimed(due)
        if attempt is None:
            continue
        error = _sent(due, shop, on)
        answer = in_a_line(error)
        ReminderResult.objects.create(attempt=attempt, was_sent=error is None, answer=answer)
        if error is None:
            run.sent.append(str(due))
            continue
        run.failed.append(f"{due}: {answer}")
        if not isinstance(error, ABOUT_ONE_LETTER):
            run.was_broken_off = True
            break
    return run


@transaction.atomic
def _claimed(due: Due) -> ReminderAttempt | None:
    """The row that lets this run send; None when it was sent, is being sent, or need not be sent any more."""
    promise = Promise.objects.select_for_update().get(pk=due.promise.pk)
    if not promise.is_open or promise.until != due.promise.until:
        return None
    key = {"promise": promise, "ends_on": promise.until, "mark": due.mark, "recipient": due.recipient}
    last = ReminderAttempt.objects.filter(**key).select_related("result").order_by("-number").first()
    if last and (not _failed(last) or last.number >= MOST_TRIES):
        return None
    try:
        with transaction.atomic():
            return ReminderAttempt.objects.create(**key, number=last.number + 1 if last else 1)
    except IntegrityError:
        return None


def _failed(attempt: ReminderAttempt) -> bool:
    """Without a result it was cut off, perhaps after it was sent: it never goes twice."""
    result = getattr(attempt, "result", None)
    return result is not None and not result.was_sent


def _sent(due: Due, shop: ShopProfile, on: date) -> Exception | None:
    return send_letter(due.write(due.promise, shop, on=on), to=due.recipient, shop=shop)
