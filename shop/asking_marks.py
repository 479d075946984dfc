"""The signed mark in the form for strangers: when its page was opened, and which page it was."""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.core import signing
from django.utils import timezone

SALT = "shop.ask"
NONCE_BYTES = 16
LONGEST = timedelta(hours=24)


@dataclass(frozen=True)
class Opened:
    """A page that was opened: its own random mark, and when."""

    nonce: str
    at: datetime

    def seconds(self, now: datetime) -> int:
        return int((now - self.at).total_seconds())


def new_mark() -> str:
    return signing.TimestampSigner(salt=SALT).sign(secrets.token_urlsafe(NONCE_BYTES))


def opened_by(mark: str, *, now: datetime | None = None) -> Opened | None:
    """None where it is not one of ours, or too old to say anything."""
    signer, now = signing.TimestampSigner(salt=SALT), now or timezone.now()
    try:
        nonce = signer.unsign(mark)
        at = datetime.fromtimestamp(signing.b62_decode(mark.rsplit(":", 2)[1]), tz=now.tzinfo)
    except (signing.BadSignature, ValueError, OverflowError):
        return None
    return Opened(nonce, at) if at + LONGEST > now else None
