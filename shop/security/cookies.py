"""How our cookies are called. Behind HTTPS a browser takes one of these names over HTTPS alone.

By `__Host-` it keeps it to this host as well, and for all of its pages.
"""

from django.conf import settings
from django.contrib.messages.storage.cookie import CookieStorage
from django.contrib.messages.storage.fallback import FallbackStorage
from django.contrib.messages.storage.session import SessionStorage


def of_this_host(name: str) -> str:
    return f"__Host-{name}" if settings.SESSION_COOKIE_SECURE else name


def of_some_pages(name: str) -> str:
    return f"__Secure-{name}" if settings.SESSION_COOKIE_SECURE else name


class MessagesInCookie(CookieStorage):
    @property
    def cookie_name(self) -> str:
        return of_this_host("messages")


class Messages(FallbackStorage):
    storage_classes = (MessagesInCookie, SessionStorage)
