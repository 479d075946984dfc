"""Which accounts somebody has signed in to from this browser before, kept in a signed cookie of its own."""

from django.conf import settings
from django.core import signing

from shop.security.cookies import of_some_pages

COOKIE, SALT = "known", "shop.known-device"
REMEMBERED_SECONDS = 180 * 86_400
MOST = 8  # accounts on one device


def known_accounts(request) -> list[str]:
    try:
        kept = request.COOKIES.get(of_some_pages(COOKIE), "")
        return list(signing.loads(kept, salt=SALT, max_age=REMEMBERED_SECONDS))
    except (signing.BadSignature, ValueError, TypeError):
        return []


def is_known(request, username: str) -> bool:
    return username in known_accounts(request)


def remember(request, response, username: str) -> None:
    others = [each for each in known_accounts(request) if each != username]
    response.set_cookie(
        of_some_pages(COOKIE),
        signing.dumps([username, *others][:MOST], salt=SALT),
        max_age=REMEMBERED_SECONDS,
        path="/login/",
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )
