"""Photos of an instrument: a page that adds them, says what they show, and puts them in order."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from instruments.actions.photos import (
    attach_pictures,
    describe_photo,
    remove_photo,
    restore_photo,
    shift_photo,
)
from instruments.forms.photos import PhotoForm, ShotPhotosForm
from instruments.models import Instrument, Photo
from instruments.photos import stored_photos
from instruments.states import Shot
from instruments.views.answers import act_once, the_instrument
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads

MOST_SHOWN = 120


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def photos(request, stock_number):
    instrument = the_instrument(stock_number)
    asked = {"shot": request.GET["shot"]} if request.GET.get("shot") in Shot else {}
    form = ShotPhotosForm(request.POST or None, request.FILES or None, initial=asked)
    was_sent = request.method == "POST"
    if was_sent and (answer := answered_before(request) or _added(request, instrument, form)):
        return answer
    return render(request, "instruments/photos.html", grid_context(instrument) | {"form": form})


def _added(request, instrument, form):
    if not form.is_valid():
        return None
    received, shot = form.cleaned_data["photos"], form.cleaned_data["shot"]
    with stored_photos(received.prepared) as stored:

        def act() -> str:
            pictures = [{"shot": shot} | dict(picture) for picture in stored]
            added = attach_pictures(instrument=instrument, pictures=pictures, by=request.user)
            stored.keep()
            tell(request, added, received.refused)
            return reverse("instruments:photos", args=[instrument.stock_number])

        return act_once(request, form, act)


def tell(request, added, refused: list[str]) -> None:
    """Say what was added and name each file that was not."""
    if added.new:
        count = len(added.new)
        messages.success(request, f"{count} photo{'s' * (count > 1)} added.")
    if added.known:
        names = ", ".join(photo.original_name for photo in added.known)
        messages.info(request, f"Already here: {names}.")
    for sentence in refused:
        messages.warning(request, sentence)


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def photo_describe(request, stock_number, pk):
    instrument, photo = _photo(stock_number, pk)
    form = PhotoForm(request.POST, instance=_photo(stock_number, pk)[1])
    if not form.is_valid():
        return _grid(request, instrument, wrong=form)
    describe_photo(photo=photo, by=request.user, **form.cleaned_data)
    return _after(request, instrument, photo, said="Saved.")


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def photo_shift(request, stock_number, pk):
    instrument, photo = _photo(stock_number, pk)
    shift_photo(photo=photo, steps=1 if request.POST.get("toward") == "back" else -1, by=request.user)
    return _after(request, instrument, photo, said="Moved.")


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def photo_remove(request, stock_number, pk):
    instrument, photo = _photo(stock_number, pk)
    remove_photo(photo=photo, by=request.user)
    return _after(request, instrument, photo, said="Put away. It stands at the foot of the page.")


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def photo_restore(request, stock_number, pk):
    instrument, photo = _photo(stock_number, pk, put_away=True)
    restore_photo(photo=photo, by=request.user)
    return _after(request, instrument, photo, said="Brought back.")


def _photo(stock_number: str, pk: int, *, put_away: bool = False) -> tuple[Instrument, Photo]:
    instrument = the_instrument(stock_number)
    photos = instrument.photos.filter(removed_at__isnull=not put_away)
    return instrument, get_object_or_404(photos, pk=pk)


def _after(request, instrument, photo, *, said: str):
    """Back to the photo that was touched; htmx gets the grid as it is now."""
    if request.htmx:
        return _grid(request, instrument, said=said, touched=photo)
    messages.success(request, said)
    return redirect(f"{reverse('instruments:photos', args=[instrument.stock_number])}#photo-{photo.pk}")


def _grid(request, instrument, *, wrong: PhotoForm | None = None, said: str = "", touched=None):
    if request.htmx:
        context = grid_context(instrument, wrong) | {"said": said, "touched": touched}
        return render(request, "instruments/photos.html#grid", context)
    return render(
        request, "instruments/photos.html", grid_context(instrument, wrong) | {"form": ShotPhotosForm()}
    )


def grid_context(instrument: Instrument, wrong: PhotoForm | None = None) -> dict:
    """Every kept photo with its own form; `wrong` is the one that was refused and keeps what was typed."""
    kept = instrument.photos.kept()[:MOST_SHOWN]
    forms = [
        wrong if wrong and wrong.instance.pk == photo.pk else PhotoForm(instance=photo) for photo in kept
    ]
    put_away = instrument.photos.filter(removed_at__isnull=False)[:MOST_SHOWN]
    return {"instrument": instrument, "photo_forms": forms, "put_away": put_away}
