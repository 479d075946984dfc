"""What the record says of holds, their ends, money given back after an end, and stages of a sale."""

from shop.hold_words import terms_words
from shop.models import GivenBackLater, HoldEnding, HoldTerms
from shop.plan_record import PLAN_KINDS
from shop.written_kinds import Kind, sentence
from workorders.currency import in_words


def _hold_terms(row: HoldTerms, user) -> str:
    return sentence(f"{row.number}", *terms_words(row)[:-1])


def _hold_ending(row: HoldEnding, user) -> str:
    kept = f"{in_words(row.kept_minor)} kept: {row.kept_reason}. Told: {row.told_how}"
    return sentence(str(row), kept if row.kept_minor else "")


def _given_back_later(row: GivenBackLater, user) -> str:
    return sentence(f"{in_words(-row.payment.amount_minor)} {row}")


HOLD_KINDS = (
    Kind(HoldTerms, _hold_terms, path="promise__instrument", right="shop.see_people", beside=("promise",)),
    Kind(HoldEnding, _hold_ending, path="promise__instrument", right="shop.see_people", beside=("promise",)),
    Kind(
        GivenBackLater,
        _given_back_later,
        path="payment__promise__instrument",
        right="shop.see_people",
        beside=("payment",),
    ),
    *PLAN_KINDS,
)
