"""Sending one letter by the mail server that is set. Never inside a transaction."""

import smtplib
from email.utils import formataddr

from django.conf import settings
from django.core.mail import EmailMessage

from shop.calc.reminders import one_line
from shop.models import ShopProfile
from shop.reminder_words import Letter

# The server speaks of this one letter; anything else is about the server, and the next fares no better.
ABOUT_ONE_LETTER = (smtplib.SMTPRecipientsRefused, smtplib.SMTPSenderRefused, smtplib.SMTPDataError)


def mail_is_set() -> bool:
    return bool(settings.EMAIL_HOST and settings.DEFAULT_FROM_EMAIL)


def send_letter(letter: Letter, *, to: str, shop: ShopProfile) -> Exception | None:
    """What went wrong; None where the server took it."""
    message = EmailMessage(
        subject=letter.subject,
        body=letter.text,
        from_email=formataddr((one_line(shop.name), settings.DEFAULT_FROM_EMAIL)),
        to=[to],
        reply_to=[shop.email] if shop.email else None,
    )
    try:
        message.send()
    except (OSError, ValueError) as error:  # of the line and the server, or an address no header may hold
        return error
    return None


def in_a_line(error: Exception | None) -> str:
    return one_line(f"{type(error).__name__}: {error}") if error else ""
