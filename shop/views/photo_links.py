"""A seller's photographs by a link: made and closed by the shop, and the page that a stranger sees."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required, permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from instruments.forms.photos import PhotosForm
from instruments.views.uploads import accepts_uploads, accepts_uploads_from_strangers
from shop.actions.photo_links import (
    LinkClosed,
    bytes_left,
    close_link,
    is_too_often,
    make_link,
    note_refused,
    open_link,
    receive,
    received_by,
    room_in,
)
from shop.forms.leads import LinkForm
from shop.models import ShopProfile
from shop.views.answers import answer_form, today
from shop.views.leads import the_lead

MOST_IN_ONE_GO = 100 * 1024 * 1024
AROUND_THE_FILES = 1024 * 1024  # the form's own bytes
TOO_OFTEN = "That was very often in a short time. Nothing is lost; wait a quarter of an hour and go on."


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def link_make(request, number):
    lead = the_lead(number)
    form = LinkForm(request.POST or None)

    def act() -> str:
        make_link(lead=lead, days=form.cleaned_data["days"], by=request.user, on=today())
        messages.success(request, "Here is the link. Send it to the seller and to nobody else.")
        return f"{lead.get_absolute_url()}#photos"

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/link_make.html", {"form": form, "lead": lead})


@require_POST
@permission_required("shop.see_people", raise_exception=True)
def link_close(request, number, pk):
    lead = the_lead(number)
    close_link(link=get_object_or_404(lead.links, pk=pk), by=request.user)
    messages.success(request, "Closed: nobody sends anything by it any more.")
    return redirect(f"{lead.get_absolute_url()}#photos")


def bytes_allowed(*, token: str) -> int:
    link = open_link(token, on=today())
    return min(MOST_IN_ONE_GO, bytes_left(link)) + AROUND_THE_FILES if link else 0


@login_not_required
@accepts_uploads_from_strangers(bytes_allowed)
@accepts_uploads
@require_http_methods(["GET", "HEAD", "POST"])
def photo_send(request, token):
    """Upload only. It tells how many came in by this link, and nothing of the lead or anybody."""
    link = open_link(token, on=today())
    if link is None:
        return discreet(render(request, "shop/photo_send_closed.html", _profile(), status=404))
    if request.method == "POST" and is_too_often(link):
        messages.error(request, TOO_OFTEN)
        return _page(request, link, status=429)
    form = PhotosForm(request.POST, request.FILES) if request.method == "POST" else PhotosForm()
    if request.method == "POST" and _received(request, link, form):
        return discreet(redirect(link))
    return _page(request, link, form)


def _received(request, link, form) -> bool:
    """Keep what is good and say so; False leaves the form with what is wrong."""
    if not form.is_valid():
        note_refused(link=link, refused=len(request.FILES.getlist("photos")))
        return False
    received = form.cleaned_data["photos"]
    try:
        receive(link=link, prepared=received.prepared, refused=len(received.refused), on=today())
    except LinkClosed as closed:
        note_refused(link=link, refused=len(received.prepared))
        form.add_error("photos", closed.sentences)
        return False
    count = len(received.prepared)
    names = ", ".join(photo.original_name for photo in received.prepared)
    messages.success(request, f"{count} photograph{'s' * (count > 1)} received: {names}. Thank you.")
    for sentence in received.refused:
        messages.warning(request, sentence)
    return True


def _page(request, link, form=None, status: int = 200):
    context = _profile() | {
        "form": form or PhotosForm(),
        "link": link,
        "received": received_by(link),
        "room": room_in(link),
    }
    return discreet(render(request, "shop/photo_send.html", context, status=status))


def _profile() -> dict:
    return {"profile": ShopProfile.current()}


def discreet(response):
    response["X-Robots-Tag"] = "noindex"
    response["Cache-Control"] = "no-store"
    return response
