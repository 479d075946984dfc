"""How long somebody stays signed in: so long without a page, and so long at most.

When the last page was asked for is kept in a signed cookie and not in the session: a page that is only read
writes nothing. The cookie holds for its session alone, and a session that began with it is nothing without.
"""

import time
from functools import lru_cache

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.models import AnonymousUser
from django.contrib.sessions.models import Session
from django.core import signing
from django.shortcuts import redirect

from shop.security.cookies import of_this_host

BEGAN = "began"  # in the session: when they signed in
STEP_WANTED = "second_step_wanted"  # in the session: nothing is open to them before they have set one up
COOKIE, SALT = "seen", "shop.last-seen"
WRITTEN_AFTER_SECONDS = 60
OPEN_BEFORE_THE_STEP = {"login", "logout", "shop:second_step", "shop:own_stay"}


class SessionLimits:
    """Behind AuthenticationMiddleware."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        if settings.SESSION_COOKIE_NAME in request.COOKIES and _is_over(request):
            request.session.flush()
            request.user = AnonymousUser()
        response = self.get_response(request)
        if request.session.accessed and BEGAN in request.session and SESSION_KEY in request.session:
            _say_seen(request, response)
        return response

    def process_view(self, request, view, args, kwargs):
        wanted = request.session.accessed and request.session.get(STEP_WANTED)
        if wanted and request.resolver_match.view_name not in OPEN_BEFORE_THE_STEP:
            return redirect("shop:second_step")
        return None


def begin(request, *, step_wanted: bool) -> None:
    """Said of a session by which somebody has just signed in."""
    request.session[BEGAN] = int(time.time())
    request.session[STEP_WANTED] = step_wanted


def end_sessions(user, *, but: str | None = None) -> int:
    """End every session of theirs, but for one; how many that were."""
    theirs = [
        each.session_key
        for each in Session.objects.iterator(chunk_size=500)
        if each.session_key != but and each.get_decoded().get(SESSION_KEY) == str(user.pk)
    ]
    Session.objects.filter(session_key__in=theirs).delete()
    return len(theirs)


def seconds_left(request) -> int | None:
    """How long this session lasts if nothing is asked for after this; None where it has no end of its own."""
    session = getattr(request, "session", {})
    if BEGAN not in session or SESSION_KEY not in session:
        return None
    whole = session[BEGAN] + settings.SESSION_COOKIE_AGE - int(time.time())
    return max(0, min(whole, settings.SESSION_IDLE_SECONDS - WRITTEN_AFTER_SECONDS))


def _is_over(request) -> bool:
    began = request.session.get(BEGAN)
    if began is None or SESSION_KEY not in request.session:
        return False
    now = time.time()
    return now > began + settings.SESSION_COOKIE_AGE or now > _seen(request) + settings.SESSION_IDLE_SECONDS


def _seen(request) -> float:
    """When this session was last used; long ago where the cookie is another session's or nobody's."""
    cookie = request.COOKIES.get(of_this_host(COOKIE), "")
    keys = settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS
    return _seen_by(cookie, request.session.session_key or "", keys)


@lru_cache(maxsize=500)
def _seen_by(cookie: str, session_key: str, keys: tuple[str, ...]) -> float:
    """What a cookie says is told by these alone; a person sends the same one for a minute and more."""
    try:
        session, seen = signing.loads(cookie, salt=SALT)
    except (signing.BadSignature, ValueError, TypeError):
        return 0
    return seen if _is_mark_of(session_key, str(session)) else 0


def _mark(request) -> str:
    return signing.Signer(salt=SALT).signature(request.session.session_key or "")


def _is_mark_of(session_key: str, mark: str) -> bool:
    """By the key that signs now, or by one that signed before it (WRESTPLANK_KEYS_BEFORE)."""
    try:
        signing.Signer(salt=SALT).unsign(f"{session_key}:{mark}")
    except signing.BadSignature:
        return False
    return True


def _say_seen(request, response) -> None:
    now = time.time()
    if now < _seen(request) + WRITTEN_AFTER_SECONDS:
        return
    response.set_cookie(
        of_this_host(COOKIE),
        signing.dumps([_mark(request), int(now)], salt=SALT),
        max_age=settings.SESSION_IDLE_SECONDS,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )
