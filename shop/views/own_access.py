"""Somebody's own way of signing in: password, second step, where they are signed in."""

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.core import signing
from django.http import JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_otp.plugins.otp_totp.models import default_key

from shop.actions.passwords import end_other_sessions, set_email, set_password
from shop.actions.second_step import renew_codes, set_up, take_off
from shop.actions.sign_in import begin_try, was_right
from shop.came_from import address_of
from shop.forms.sign_in import WRONG_CODE, ChangePasswordForm, ConfirmForm, EmailForm, SetUpForm
from shop.log_states import TryKind
from shop.models import RecoveryCode
from shop.second_step import Square, address_for_apps, device_of, is_wanted_of, key_in_fours, new_device
from shop.security.sessions import STEP_WANTED, seconds_left

KEY_SALT, KEY_SECONDS = "shop.second-step", 1_800
NOT_THE_PRESENT = "“Your present password” is another one."
TOO_OFTEN = "That was wrong too often. Wait a quarter of an hour."


@require_GET
def own_access(request):
    device = device_of(request.user)
    codes = RecoveryCode.objects.filter(user=request.user, used_at=None).count()
    context = {
        "device": device,
        "codes": codes,
        "wanted": is_wanted_of(request.user),
        "roles": request.user.groups.order_by("name"),
        "lines": request.user.log_lines.select_related("who")[:8],
    }
    return render(request, "shop/own_access.html", context)


@never_cache
@require_GET
def own_stay(request):
    """Being asked for makes the session last, as any page does; a page left open goes on with this token."""
    told = {"seconds": seconds_left(request), "user": request.user.pk, "token": get_token(request)}
    return JsonResponse(told)


@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def password_change(request):
    form = ChangePasswordForm(request.POST or None, user=request.user)
    if request.method == "POST" and form.is_valid() and _is_present(request, form):
        keep = request.session.session_key
        set_password(
            user=request.user,
            password=form.cleaned_data["new"],
            keep_session=keep,
            address=address_of(request),
        )
        request.user.refresh_from_db()
        update_session_auth_hash(request, request.user)
        messages.success(request, "The password is changed. Everywhere else you are signed out.")
        return redirect("shop:own_access")
    return render(request, "shop/password_change.html", {"form": form})


@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def own_email(request):
    form = EmailForm(request.POST or None, initial={"email": request.user.email})
    if request.method == "POST" and form.is_valid() and _is_present(request, form):
        set_email(user=request.user, email=form.cleaned_data["email"], address=address_of(request))
        messages.success(request, "Kept.")
        return redirect("shop:own_access")
    return render(request, "shop/own_email.html", {"form": form})


@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def second_step(request):
    """Set it up: a square to be photographed, or its key to be typed, and a code that shows it worked."""
    if device_of(request.user):
        return redirect("shop:own_access")
    key = _key_of(request) or default_key()
    signed = signing.dumps([request.user.pk, key], salt=KEY_SALT)
    form = SetUpForm(request.POST or None, initial={"key": signed})
    if request.method == "POST" and form.is_valid() and _is_present(request, form):
        codes = set_up(
            user=request.user, key=key, code=form.cleaned_data["code"], address=address_of(request)
        )
        if codes:
            request.session[STEP_WANTED] = False
            return render(request, "shop/recovery_codes.html", {"codes": codes, "first": True})
        form.add_error("code", WRONG_CODE)
    device = new_device(request.user, key)
    context = {
        "form": form,
        "signed": signed,
        "key": key_in_fours(key),
        "square": Square(address_for_apps(device)),
        "wanted": request.session.get(STEP_WANTED),
    }
    return render(request, "shop/second_step.html", context)


@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def second_step_off(request):
    form = ConfirmForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _is_present(request, form):
        take_off(user=request.user, by=request.user, address=address_of(request))
        messages.success(request, "From now on the password alone opens the shop for you.")
        return redirect("shop:own_access")
    context = {"form": form, "wanted": is_wanted_of(request.user)}
    return render(request, "shop/second_step_off.html", context)


@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def recovery_codes(request):
    """New ones, shown on the answer and never again."""
    if device_of(request.user) is None:
        return redirect("shop:second_step")
    form = ConfirmForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _is_present(request, form):
        codes = renew_codes(user=request.user, address=address_of(request))
        return render(request, "shop/recovery_codes.html", {"codes": codes})
    return render(request, "shop/recovery_codes_new.html", {"form": form})


@require_POST
def sessions_end(request):
    count = end_other_sessions(
        user=request.user, keep_session=request.session.session_key, address=address_of(request)
    )
    where = f"{count} other place{'s' * (count != 1)}" if count else "no other place; there was none"
    messages.success(request, f"Signed out in {where}.")
    return redirect("shop:own_access")


def _is_present(request, form) -> bool:
    """Whether the present password is right. At a screen that was left open nobody gets to guess."""
    tried = begin_try(
        TryKind.PASSWORD, account=request.user.get_username(), address=address_of(request), is_known=True
    )
    if tried is not None and request.user.check_password(form.cleaned_data["present"]):
        was_right(tried)
        return True
    form.add_error("present", NOT_THE_PRESENT if tried else TOO_OFTEN)
    return False


def _key_of(request) -> str:
    """The key that the page showed when it was opened, if it was ours and for this person."""
    try:
        user, key = signing.loads(request.POST.get("key", ""), salt=KEY_SALT, max_age=KEY_SECONDS)
    except (signing.BadSignature, ValueError, TypeError):
        return ""
    return key if user == request.user.pk else ""
