"""What a reminder says: plain text, to the shop and to the customer."""

from dataclasses import dataclass
from datetime import date

from shop.calc.reminders import left_words, one_line
from shop.models import Promise, ShopProfile
from shop.states import PromiseKind
from shop.trial_days import days_of


@dataclass(frozen=True)
class Letter:
    subject: str
    text: str


def letter_to_shop(promise: Promise, shop: ShopProfile, *, on: date) -> Letter:
    day, what, who = f"{promise.until:%-d %B %Y}", _what(promise), promise.person
    contacts = [line for line in (who.telephone, who.email) if line]
    lines = [
        f"{_named(promise)}, {what} for {who.name}, ends on {day}: {left_words(promise.until, on)}.",
        f"Ask {who.name}: {', '.join(contacts)}." if contacts else f"{who.name} left no number or address.",
        "Ask whether they keep, exchange or return it."
        if promise.kind == PromiseKind.TRIAL
        else "Sell it to them, extend the hold in writing, or release it.",
    ]
    subject = one_line(f"{_named(promise)}: {what} ends on {day}")
    return Letter(subject, "\n\n".join([*lines, shop.name]) + "\n")


def letter_to_customer(promise: Promise, shop: ShopProfile, *, on: date) -> Letter:
    day, left = f"{promise.until:%A, %-d %B %Y}", left_words(promise.until, on)
    if promise.kind == PromiseKind.TRIAL:
        lines = [
            f"The {_named(promise)} that you have at home on trial ({promise.trial.number}) is to be kept, "
            f"exchanged or returned by {day}: {left}.",
            "Please tell us which of the three it is to be. If you need more time, ask us before that day; "
            "we agree on it in writing.",
            days_of(promise.trial).silence_words,
        ]
        subject = f"Your home trial ends on {promise.until:%-d %B %Y}"
    else:
        lines = [
            f"We keep the {_named(promise)} for you until {day}: {left}.",
            "Please tell us whether you take it, or need more time.",
        ]
        subject = f"We keep the {_named(promise)} until {promise.until:%-d %B %Y}"
    ours = [line for line in (shop.name, *shop.address.splitlines(), shop.telephone, shop.email) if line]
    text = "\n\n".join([f"Dear {promise.person.name},", *lines, "\n".join(ours)])
    return Letter(one_line(subject), text + "\n")


def _what(promise: Promise) -> str:
    return "on home trial" if promise.kind == PromiseKind.TRIAL else "on hold"


def _named(promise: Promise) -> str:
    return one_line(f"{promise.instrument.maker_name} ({promise.instrument.stock_number})")
