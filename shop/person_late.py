"""What of a person is past its day, each with its way on, for the top of their card."""

from collections.abc import Iterator
from datetime import date

from django.urls import reverse

from shop.person_card import PersonCard
from shop.states import PromiseKind
from shop.waiting_lines import Waiting, day_words, named
from workorders.currency import in_words


def late_of(card: PersonCard) -> list[Waiting]:
    """The longest late first."""
    found = sorted([*_words(card), *_money(card), *_care(card)], key=lambda each: each[0])
    return [Waiting(words, day_words(day, card.on), url, is_late=True) for day, words, url in found]


def _words(card: PersonCard) -> Iterator[tuple[date, str, str]]:
    for word in card.open_words:
        promise = word.promise
        if promise.until is None or promise.until >= card.on:
            continue
        if promise.kind == PromiseKind.TRIAL:
            words = f"Home trial of {named(promise.instrument)}: to be kept, exchanged or brought back"
            yield promise.until, words, f"{promise.trial.get_absolute_url()}#endings"
        elif promise.kind == PromiseKind.HOLD:
            words = f"Hold on {named(promise.instrument)}: its day has passed"
            yield promise.until, words, reverse("shop:hold_page", args=[promise.pk])


def _money(card: PersonCard) -> Iterator[tuple[date, str, str]]:
    late = {word.promise.sale.get_absolute_url(): word for word in card.open_words if word.late_since}
    for due in card.they_owe:
        if due.late_since:
            amount = late[due.url].late_minor
            yield due.late_since, f"They owe {in_words(amount)}, {due.words}", due.url
    for due in card.we_owe:
        if due.late_since:
            yield due.late_since, f"We owe {in_words(due.amount_minor)}, {due.words}", due.url


def _care(card: PersonCard) -> Iterator[tuple[date, str, str]]:
    for each in card.call_backs:
        if not each.is_answered and each.answer_by < card.on:
            words = f"{each.number}, {each.part_name.lower()}: they wait for an answer"
            yield each.answer_by, words, each.get_absolute_url()
    for visit in card.visits:
        if visit.booked_for < card.on:
            words = f"{visit.get_kind_display()} of {named(visit.instrument)}: not written up"
            yield visit.booked_for, words, visit.get_absolute_url()
