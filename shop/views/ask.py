"""What a stranger may ask, on a page of its own and on each piano's, and what we say of what is kept."""

from django.contrib.auth.decorators import login_not_required
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.form_token import TOKEN_FIELD
from shop.actions.enquiries import TooOften, take_enquiry
from shop.asking_marks import opened_by
from shop.came_from import address_of
from shop.enquiry_words import answered_within, consent_words
from shop.forms.enquiries import AskForm
from shop.models import Listing, ShopProfile
from shop.views.photo_links import discreet

OPEN_TOO_LONG = "This page was open for very long. Nothing is lost: please press the button once more."


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def ask(request):
    return _answer(request, None)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def ask_about(request, slug):
    """Of a piano that has left the window meanwhile as well: what somebody has typed is not lost for that."""
    published = Listing.objects.filter(first_published_at__isnull=False).select_related("instrument")
    return _answer(request, get_object_or_404(published, slug=slug))


def _answer(request, listing):
    form, shop, status = AskForm(request.POST or None), ShopProfile.current(), 200
    if request.method == "POST" and form.is_valid():
        try:
            if _taken(request, form, listing, shop):
                return redirect("ask_thanks")
            form.add_error(None, OPEN_TOO_LONG)
        except TooOften as refused:
            form.add_error(None, f"{refused} Nothing is lost: wait a quarter of an hour and send it again.")
            status = 429
    context = {
        "form": form,
        "listing": listing,
        "is_shown": listing and Listing.objects.in_window().filter(pk=listing.pk).exists(),
        "profile": shop,
        "within": answered_within(shop),
    }
    return discreet(render(request, "shop/ask.html", context, status=status))


def _taken(request, form, listing, shop) -> bool:
    opened = opened_by(request.POST.get(TOKEN_FIELD, ""))
    if opened is None:
        return False
    take_enquiry(
        asked=form.asked() | {"agreed_to": consent_words(shop)},
        trap=form.cleaned_data["trap"],
        opened=opened,
        address=address_of(request),
        instrument=listing.instrument if listing else None,
        by=request.user if request.user.is_authenticated else None,
        at=timezone.now(),
    )
    return True


@login_not_required
@require_GET
def ask_thanks(request):
    """The same whatever became of it."""
    shop = ShopProfile.current()
    return discreet(
        render(request, "shop/ask_thanks.html", {"profile": shop, "within": answered_within(shop)})
    )


@login_not_required
@require_GET
def ask_kept(request):
    shop = ShopProfile.current()
    return render(request, "shop/ask_kept.html", {"profile": shop, "consent": consent_words(shop)})
