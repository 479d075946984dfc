"""What a customer's wishes leave in the record: each version, its approval, what was added or taken back."""

from shop.models import Approval, Extra, Quote, QuoteTakenBack
from shop.written_kinds import Kind, sentence
from workorders.currency import in_words


def _quote(row: Quote, user) -> str:
    wishes = "; ".join(f"{wish.words}, {in_words(wish.price_minor)}" for wish in row.wishes.all())
    return sentence(str(row), wishes, row.note)


def _approval(row: Approval, user) -> str:
    final = f"Agreed that it cannot be undone: {row.final_words}" if row.final_words else ""
    return sentence(str(row), row.get_way_display(), row.reference, final)


def _taken_back(row: QuoteTakenBack, user) -> str:
    return sentence(str(row), row.reason)


def _extra(row: Extra, user) -> str:
    return sentence(f"{row.quote}: {row.words}, {in_words(row.price_minor)}")


COMMISSION_KINDS = (
    Kind(
        Quote,
        _quote,
        path="commission__order__instrument",
        who="issued_by",
        right="shop.see_people",
        beside=("commission",),
        several=("wishes",),
    ),
    Kind(
        Approval,
        _approval,
        path="quote__commission__order__instrument",
        right="shop.see_people",
        beside=("quote__commission",),
    ),
    Kind(
        QuoteTakenBack,
        _taken_back,
        path="quote__commission__order__instrument",
        who="taken_back_by",
        at="taken_back_at",
        right="shop.see_people",
        beside=("quote__commission",),
    ),
    Kind(
        Extra,
        _extra,
        path="quote__commission__order__instrument",
        who="added_by",
        right="shop.see_people",
        beside=("quote__commission",),
    ),
)
