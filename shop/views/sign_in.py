"""Signing in, its second step, and signing out."""

import time

from django.conf import settings
from django.contrib.auth import authenticate, login, logout
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop.actions.log import write_log, write_strangers
from shop.actions.second_step import take_code
from shop.actions.sign_in import begin_try, was_right
from shop.came_from import address_of
from shop.forms.sign_in import WRONG, WRONG_CODE, CodeForm, SignInForm
from shop.log_states import LogKind, TryKind
from shop.second_step import device_of, is_wanted_of
from shop.security import devices, sessions

HALF_WAY = "half_signed_in"  # in the session: whose password was right, and until when the code may come
HALF_WAY_SECONDS = 600
BACKEND = settings.AUTHENTICATION_BACKENDS[0]


@login_not_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request):
    form = SignInForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        username = form.cleaned_data["username"]
        known = devices.is_known(request, username)
        tried = begin_try(TryKind.PASSWORD, account=username, address=address_of(request), is_known=known)
        if tried is None:
            return _paused(request)
        user = authenticate(request, **form.cleaned_data)
        if user is not None:
            was_right(tried)
            return _password_was_right(request, user)
        form.add_error(None, WRONG)
        _log_failed(request, username, "password")
    context = {"form": form, "next": _next(request)}
    return render(request, "registration/login.html", context)


def _password_was_right(request, user):
    if device_of(user) is None:
        return _let_in(request, user)
    request.session.cycle_key()
    request.session[HALF_WAY] = [user.pk, int(time.time()) + HALF_WAY_SECONDS, _next(request)]
    return redirect("login_code")


@login_not_required
@never_cache
@sensitive_post_parameters("code")
@require_http_methods(["GET", "HEAD", "POST"])
def login_code(request):
    """The second step: a code of the telephone, or a recovery code."""
    key, until, way_on = request.session.get(HALF_WAY, (None, 0, ""))
    user = User.objects.filter(pk=key, is_active=True).first() if time.time() < until else None
    if user is None:
        return redirect("login")
    form = CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        tried = begin_try(TryKind.CODE, account=str(user.pk), address=address_of(request))
        if tried is None:
            return _paused(request)
        if take_code(user=user, code=form.cleaned_data["code"], address=address_of(request)):
            was_right(tried)
            return _let_in(request, user, way_on)
        form.add_error("code", WRONG_CODE)
        _log_failed(request, user.get_username(), "code")
    return render(request, "registration/login_code.html", {"form": form})


def _let_in(request, user, way_on: str = ""):
    way_on = way_on or _next(request)
    request.session.pop(HALF_WAY, None)
    login(request, user, backend=BACKEND)
    sessions.begin(request, step_wanted=is_wanted_of(user) and device_of(user) is None)
    write_log(kind=LogKind.SIGNED_IN, who=user, what="Signed in", address=address_of(request))
    response = redirect(way_on or settings.LOGIN_REDIRECT_URL)
    devices.remember(request, response, user.get_username())
    return response


@login_not_required
@never_cache
@require_POST
def sign_out(request):
    if request.user.is_authenticated:
        write_log(kind=LogKind.SIGNED_OUT, who=request.user, what="Signed out", address=address_of(request))
    logout(request)
    return render(request, "registration/logged_out.html")


def _paused(request):
    write_strangers(
        kind=LogKind.PAUSED, what="Too many wrong tries; none more is looked at", address=address_of(request)
    )
    return render(request, "registration/locked_out.html", status=429)


def _log_failed(request, username: str, what: str) -> None:
    """A name that nobody has is not written down: it may be a password typed in the wrong box."""
    user = User.objects.filter(username=username).first()
    words = f"Wrong {what}" if user else "A name that nobody has"
    write_log(kind=LogKind.FAILED, who=user, what=words, address=address_of(request))


def _next(request) -> str:
    """Where they were going, if that is a page of ours."""
    wanted = request.POST.get("next") or request.GET.get("next", "")
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours and wanted != resolve_url(settings.LOGIN_URL) else ""
