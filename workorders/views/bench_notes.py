"""From the bench: a note or a photograph, and something else that was found."""

from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from instruments.actions.photos import attach_pictures, describe_photo
from instruments.actions.waiting_photos import keep_waiting, take_waiting, waiting_photos
from instruments.form_token import form_token_of
from instruments.models import Photo
from instruments.photos import stored_photos
from instruments.states import Shot
from instruments.views.answers import act_once
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from workorders.actions.notes import note_at_bench
from workorders.actions.proposals import propose_work
from workorders.forms.bench import FoundForm, NoteForm, PhotoForm
from workorders.models import WorkItem
from workorders.views.answers import the_item, today


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_note(request, pk):
    item = the_item(pk)
    form = NoteForm(request.POST or None, request.FILES or None, item=item, waiting=_waiting(request))

    def write(photo: Photo | None) -> str:
        data = form.cleaned_data
        note = note_at_bench(
            item=item, words=data["words"], photo=photo, moment=data["moment"], by=request.user
        )
        messages.success(request, "Noted." if note.words else "The photograph is kept.")
        return back_to(request, item)

    return _answer(request, item, form, write, "workorders/item_note.html")


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_found(request, pk):
    item = the_item(pk)
    form = FoundForm(
        request.POST or None,
        request.FILES or None,
        instrument=item.order.instrument,
        waiting=_waiting(request),
    )

    def write(photo: Photo | None) -> str:
        if photo and not photo.caption:
            describe_photo(photo=photo, by=request.user, shot=Shot.DAMAGE)
        found = propose_work(item=item, photo=photo, by=request.user, on=today(), **form.found())
        messages.success(
            request, f"Written down: {found}. The owner is asked, and the bench says the answer."
        )
        return back_to(request, item)

    return _answer(request, item, form, write, "workorders/item_found.html")


def back_to(request: HttpRequest, item: WorkItem) -> str:
    """The bench for who came from there, else the item."""
    return reverse("workorders:bench") if request.GET.get("then") == "bench" else item.get_absolute_url()


def _answer(
    request: HttpRequest, item: WorkItem, form: PhotoForm, write: Callable[[Photo | None], str], template: str
) -> HttpResponse:
    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid() and (answer := _written(request, item, form, write)):
            return answer
        _keep_photo(request, form)
    return render(request, template, {"form": form, "item": item, "back": back_to(request, item)})


def _written(request, item: WorkItem, form: PhotoForm, write: Callable[[Photo | None], str]):
    with stored_photos(form.cleaned_data["photo"].prepared) as stored:

        def act() -> str:
            waited = take_waiting(form_token=form_token_of(request), by=request.user)
            added = attach_pictures(
                instrument=item.order.instrument, pictures=[*waited, *stored], by=request.user
            )
            # The one taken last: what waited from before stays with the instrument as well.
            photo = next(reversed([*added.known, *added.new]), None)
            address = write(photo)
            stored.keep()
            return address

        return act_once(request, form, act)


def _waiting(request):
    return waiting_photos(form_token=form_token_of(request), by=request.user).last()


def _keep_photo(request, form: PhotoForm) -> None:
    """A picture is not taken twice: what came with a form that is not accepted yet waits for it."""
    received = form.cleaned_data.get("photo") if hasattr(form, "cleaned_data") else None
    if received and received.prepared and form_token_of(request):
        keep_waiting(form_token=form_token_of(request), prepared=received.prepared, by=request.user)
        form.waiting = _waiting(request)
