"""Trying a secret: counted in the database before it is looked at, so that every process counts the same.

A try is a row that is written first and counted afterwards. Of many at once each counts those that are
there by then, itself among them, so never more than the limit are looked at, without a lock.
"""

from dataclasses import dataclass
from datetime import timedelta

from django.utils import timezone
from django.utils.crypto import salted_hmac

from shop.log_states import TryKind, TryOutcome
from shop.models import SignInTry

WITHIN = timedelta(minutes=15)
REMEMBERED = timedelta(days=1)


@dataclass(frozen=True)
class Limits:
    """How often a secret may be wrong: of one account from devices that have signed in to it before and
    from all others together, and from one address for all accounts; each in a quarter of an hour."""

    others: int
    known: int
    address: int


# Ten an account in all: from elsewhere six, and a device of the person's own keeps four for itself, so that
# nobody is locked out of their shop by a stranger.
LIMITS = {
    TryKind.PASSWORD: Limits(others=6, known=4, address=30),
    TryKind.CODE: Limits(others=5, known=5, address=30),
    TryKind.LETTER: Limits(others=3, known=3, address=10),
}


def begin_try(kind: str, *, account: str, address: str, is_known: bool = False) -> SignInTry | None:
    """The right to have a secret looked at; None after too many. Wrong until `was_right` is said of it."""
    tried = SignInTry(
        kind=kind,
        account=_mark("account", account.casefold()[:300]),
        address=_mark("address", address),
        is_known_device=is_known,
        at=timezone.now(),
    )
    if _too_many(tried, spare=1):  # most of a flood ends here, with nothing written
        return None
    tried.save()
    if _too_many(tried, spare=0):
        tried.outcome = TryOutcome.REFUSED
        tried.save(update_fields=["outcome"])
        return None
    return tried


def was_right(tried: SignInTry) -> None:
    tried.outcome = TryOutcome.RIGHT
    tried.save(update_fields=["outcome"])
    SignInTry.objects.filter(at__lt=timezone.now() - REMEMBERED).delete()


def _too_many(tried: SignInTry, *, spare: int) -> bool:
    limits = LIMITS[tried.kind]
    wrong = SignInTry.objects.filter(kind=tried.kind, outcome=TryOutcome.BEGUN, at__gt=tried.at - WITHIN)
    of_account = wrong.filter(account=tried.account, is_known_device=tried.is_known_device)
    if of_account.count() + spare > (limits.known if tried.is_known_device else limits.others):
        return True
    if tried.is_known_device:
        return False
    return wrong.filter(address=tried.address, is_known_device=False).count() + spare > limits.address


def _mark(what: str, text: str) -> str:
    return salted_hmac(f"shop.try.{what}", text, algorithm="sha256").hexdigest()
