"""Logging an instrument on one page, with photos that may be sent ahead of it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_POST

from instruments.actions.waiting_photos import drop_waiting, keep_waiting, take_waiting, waiting_photos
from instruments.form_token import form_token_of
from instruments.forms.fields import MOST_DIGITS
from instruments.forms.photos import PhotosForm
from instruments.photos import stored_photos
from instruments.views.identity import known_makers
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from shop.actions.intake import log_instrument
from shop.forms.intake import IntakeForm, same_serial
from shop.sellers import people_like
from shop.views.answers import act_once, today


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.log_instrument", raise_exception=True)
def instrument_log(request):
    if request.method == "GET":
        return _page(request, IntakeForm(initial={"bought_on": today()}))
    if answer := answered_before(request):
        return answer
    if "drop_photo" in request.POST:
        _drop(request)
        return _page(request, IntakeForm(initial=request.POST.dict()))
    form = IntakeForm(request.POST, request.FILES)
    # Asked again where it is not valid: pressed twice, the first press has made its own seller known.
    if answer := _logged(request, form) if form.is_valid() else answered_before(request):
        return answer
    if token := form_token_of(request):
        keep_waiting(form_token=token, prepared=form.received.prepared, by=request.user)
    return _page(request, form)


def _logged(request, form: IntakeForm):
    with stored_photos(form.received.prepared) as stored:

        def act() -> str:
            waited = take_waiting(form_token=form_token_of(request), by=request.user)
            instrument = log_instrument(
                **form.record(), pictures=[*waited, *stored], by=request.user, on=today()
            )
            stored.keep()
            _tell(request, instrument, form.received.refused)
            return instrument.get_absolute_url()

        return act_once(request, form, act)


def _tell(request, instrument, refused: list[str]) -> None:
    messages.success(request, f"Logged as {instrument.stock_number}.")
    for sentence in refused:
        messages.warning(request, sentence)
    for other in same_serial(instrument):
        messages.warning(request, f"{other.stock_number} has the same maker and serial number.")


@accepts_uploads
@require_POST
@permission_required("instruments.log_instrument", raise_exception=True)
def intake_photos(request):
    """Photos sent ahead of their form, the moment they are taken; or one of them dropped again."""
    refused = []
    if "drop_photo" in request.POST:
        _drop(request)
    elif token := form_token_of(request):
        form = PhotosForm(request.POST, request.FILES)
        if form.is_valid():
            received = form.cleaned_data["photos"]
            keep_waiting(form_token=token, prepared=received.prepared, by=request.user)
            refused = received.refused
        else:
            refused = form.errors.get("photos", [])
    context = {"form": IntakeForm(), "waiting": _waiting(request), "refused": refused}
    return render(request, "shop/instrument_log.html#photos", context)


@require_POST
@permission_required("instruments.log_instrument", raise_exception=True)
@permission_required("shop.see_people", raise_exception=True)
def seller_matches(request):
    """People already on file who may be the seller being typed."""
    people = people_like(request.POST.get("seller_name", "").replace("\0", " ")[:120])
    return render(request, "shop/instrument_log.html#sellers", {"people": people})


def _drop(request) -> None:
    chosen = request.POST["drop_photo"]
    is_number = chosen.isdecimal() and len(chosen) <= MOST_DIGITS
    if is_number and (photo := _waiting(request).filter(pk=chosen).first()):
        drop_waiting(photo=photo)


def _waiting(request):
    return waiting_photos(form_token=form_token_of(request), by=request.user)


def _page(request, form: IntakeForm):
    context = {
        "form": form,
        "makers": known_makers(),
        "people": form.seller_matches,
        "waiting": _waiting(request),
        "refused": form.received.refused,
    }
    return render(request, "shop/instrument_log.html", context)
