"""The way to a new password: by a letter, or by a link that the owner hands over."""

from threading import Thread

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.shortcuts import redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shop.actions.letters import mail_is_set, send_letter
from shop.actions.passwords import set_password, way_to_a_new_password
from shop.actions.sign_in import begin_try
from shop.came_from import address_of
from shop.forms.sign_in import ForgottenForm, WayForm
from shop.log_states import TryKind
from shop.models import ShopProfile
from shop.reminder_words import Letter
from shop.site_address import Site
from shop.views.photo_links import discreet

LETTER = (
    "Somebody, you we hope, asked for a new password for {name}.\n\n"
    "Choose it here. The page opens once, within three hours:\n{address}\n\n"
    "If it was not you, do nothing: the old password stays.\n"
)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def password_forgotten(request):
    """It answers alike whether there is such a name or not."""
    can_write = mail_is_set()
    form = ForgottenForm(request.POST or None)
    is_sent = can_write and request.method == "POST" and form.is_valid()
    if is_sent:
        _write_to(request, form.cleaned_data["username"])
    context = {"form": form, "can_write": can_write, "is_sent": is_sent}
    return discreet(render(request, "registration/password_forgotten.html", context))


def _write_to(request, username: str) -> None:
    """Sent beside the answer: how long the mail server takes would tell who exists."""
    tried = begin_try(TryKind.LETTER, account=username, address=address_of(request))
    user = User.objects.filter(username=username, is_active=True).exclude(email="").first()
    if tried is None or user is None:
        return
    shop = ShopProfile.current()
    address = f"{Site(request, shop).named('password_new')}#{way_to_a_new_password(user)}"
    letter = Letter(subject="A new password", text=LETTER.format(name=username, address=address))
    Thread(target=send_letter, args=[letter], kwargs={"to": user.email, "shop": shop}, daemon=True).start()


@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def password_new(request):
    """It signs nobody in: the second step is asked for as ever."""
    form = WayForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        set_password(user=form.user, password=form.cleaned_data["new"], address=address_of(request))
        messages.success(request, "The new password holds. Sign in with it.")
        return discreet(redirect("login"))
    return discreet(render(request, "registration/password_new.html", {"form": form}))
