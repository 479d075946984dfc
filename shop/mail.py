"""Whether letters can be sent from here, and how: what the environment says of the mail server."""

import os
from dataclasses import dataclass, field

from django.core.exceptions import ImproperlyConfigured, ValidationError
from django.core.validators import validate_email

SECURITIES = ("starttls", "tls", "none")
HERE = {"localhost", "127.0.0.1", "::1"}
PORTS = {"starttls": 587, "tls": 465, "none": 25}


@dataclass(frozen=True)
class MailServer:
    """`host` is empty where none is set; nothing is ever sent then."""

    host: str = ""
    port: int = 25
    user: str = ""
    password: str = field(default="", repr=False)
    security: str = "none"
    sender: str = ""

    @property
    def settings(self) -> dict:
        """As Django names them."""
        return {
            "EMAIL_HOST": self.host,
            "EMAIL_PORT": self.port,
            "EMAIL_HOST_USER": self.user,
            "EMAIL_HOST_PASSWORD": self.password,
            "EMAIL_USE_TLS": self.security == "starttls",
            "EMAIL_USE_SSL": self.security == "tls",
            "EMAIL_TIMEOUT": 20,  # seconds
            "DEFAULT_FROM_EMAIL": self.sender,
            "SERVER_EMAIL": self.sender,
        }


def mail_server() -> MailServer:
    """Loud about mistakes: a server without a sender, a port that is no number."""
    host = os.environ.get("WRESTPLANK_MAIL_HOST", "").strip()
    if not host:
        return MailServer()
    security = os.environ.get("WRESTPLANK_MAIL_SECURITY", "").strip().lower() or "starttls"
    if security not in SECURITIES:
        raise ImproperlyConfigured(
            f"WRESTPLANK_MAIL_SECURITY must be one of {', '.join(SECURITIES)}, not {security!r}."
        )
    if security == "none" and host not in HERE:
        raise ImproperlyConfigured(
            "WRESTPLANK_MAIL_SECURITY is none only for a mail server on this machine: letters to another are "
            "sent in cipher, by starttls or tls."
        )
    sender = os.environ.get("WRESTPLANK_MAIL_FROM", "").strip()
    try:
        validate_email(sender)
    except ValidationError:
        raise ImproperlyConfigured("WRESTPLANK_MAIL_FROM must be the address letters come from.") from None
    return MailServer(
        host=host,
        port=_port(os.environ.get("WRESTPLANK_MAIL_PORT", "").strip(), PORTS[security]),
        user=os.environ.get("WRESTPLANK_MAIL_USER", ""),
        password=os.environ.get("WRESTPLANK_MAIL_PASSWORD", ""),
        security=security,
        sender=sender,
    )


def _port(said: str, usual: int) -> int:
    if not said:
        return usual
    if not (said.isascii() and said.isdigit() and 0 < int(said[:6]) < 65_536):
        raise ImproperlyConfigured(f"WRESTPLANK_MAIL_PORT must be a number from 1 to 65535, not {said!r}.")
    return int(said)
