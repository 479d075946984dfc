"""What of the deposit of a hold may be kept. Minor units in, minor units out, exact.

That only a real loss may be kept, and that a reservation deposit should be a small share of the price, is
guidance on unfair terms (Consumer Rights Act 2015 Part 2, from memory). Every figure is common practice, no
source: the shop sets its own.
"""

from dataclasses import dataclass
from datetime import date, timedelta

MOST_DAYS = 92  # that a hold is made for, or extended by at a time; common practice, no source


@dataclass(frozen=True)
class DepositTerms:
    """As agreed when the hold was placed. `keep_most_minor` is None where a share alone bounds it."""

    full_until: date
    keep_percent: int
    keep_most_minor: int | None = None


def most_kept_minor(
    terms: DepositTerms | None, *, paid_minor: int, on: date, shop_lets_go: bool = False
) -> int:
    """At most so much may be kept; half a minor unit goes to the customer.

    Nothing at all where nothing was agreed, up to and on the day of the full refund, and where it is the
    shop that does not keep its word.
    """
    if terms is None or shop_lets_go or on <= terms.full_until:
        return 0
    share = max(0, paid_minor) * terms.keep_percent // 100
    return share if terms.keep_most_minor is None else min(share, terms.keep_most_minor)


def latest_end(since: date) -> date:
    """The last day that a hold made or extended from a day may have."""
    return since + timedelta(days=MOST_DAYS)


def is_large(deposit_minor: int, price_minor: int | None, share_percent: int) -> bool:
    """Whether a deposit is more than the share of the price that the shop calls small."""
    return bool(price_minor) and deposit_minor * 100 > price_minor * share_percent
