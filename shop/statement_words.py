"""What stands beside the column of a statement: what its last figure means, and what the shop bought."""

from dataclasses import dataclass
from datetime import date

from shop.models import PayOut, Person
from shop.states import CreditKind, PurchaseRoute
from workorders.currency import in_words

ENTRY_VERBS = {
    CreditKind.FROM_PROMISE: "Into credit from",
    CreditKind.TO_PROMISE: "Credit used for",
    CreditKind.PAID_OUT: "Credit paid out, from",
    CreditKind.EXPIRED: "Credit run out, from",
}


@dataclass(frozen=True)
class Bought:
    """What the shop bought of this person: paid when it was bought, or allowed in part exchange."""

    on: date | None
    words: str
    amount_minor: int


def standing_words(balance_minor: int, whose: str) -> str:
    """ "£500.00 is theirs, in credit or on what is open."; on paper it is “yours”."""
    if not balance_minor:
        return "Nothing is owed either way."
    amount = in_words(abs(balance_minor))
    if balance_minor < 0:
        return f"{amount} is still to pay to us."
    return f"{amount} is {whose}, in credit or on what is open."


def bought_of(person: Person, limit: int = 50) -> tuple[Bought, ...]:
    """The newest, oldest first; what an owner was paid for a sale stands payment by payment."""
    rows = person.whole("sold_to_us").filter(corrected_by__isnull=True, price_minor__gt=0)
    rows = rows.exclude(route=PurchaseRoute.SALE_OR_RETURN).select_related("instrument")
    bought = [
        Bought(each.bought_on, f"{each.instrument}, {each.get_route_display().lower()}", each.price_minor)
        for each in rows.order_by("-id")[:limit]
    ]
    agreements = person.whole("sale_or_returns")
    payouts = PayOut.objects.filter(agreement__in=agreements).select_related("agreement__instrument")
    bought += [
        Bought(
            each.paid_on,
            f"{each.agreement.instrument}, the owner’s part by {each.agreement.number}",
            each.amount_minor,
        )
        for each in payouts.order_by("-id")[:limit]
    ]
    return tuple(sorted(bought, key=lambda each: each.on or date.min))
