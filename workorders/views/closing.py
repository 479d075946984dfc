"""Closing an item: what was done, and the figure, weigh-off or photograph that proves it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from instruments.actions.photos import add_photos, describe_photo
from instruments.models import Photo
from instruments.states import Shot
from instruments.views.answers import act_once
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from workorders.actions.bench import log_time
from workorders.actions.items import close_item
from workorders.forms.closing import CloseForm
from workorders.models import WorkItem
from workorders.problems import item_problems
from workorders.views.answers import the_item
from workorders.views.bench import after_closing, minutes_running_on

# Each box for a new photograph, with the field that it answers and what it shows.
NEW_PHOTOS = {
    "new_photo": ("photo", Shot.AFTER_WORK),
    "new_photo_before": ("photo_before", Shot.OTHER),
}


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_close(request, pk):
    item = the_item(pk)
    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        form = _with_photos_kept(request, item)
        if form.is_valid() and (answer := act_once(request, form, lambda: _close(request, item, form))):
            return answer
    else:
        form = CloseForm(item=item, by=request.user)
    context = {"form": form, "item": item, "problems": item_problems(item)}
    context["minutes_running"] = minutes_running_on(item, request.user)
    return render(request, "workorders/item_close.html", context)


def _close(request, item: WorkItem, form: CloseForm) -> str:
    data = dict(form.cleaned_data)
    minutes, on = data.pop("minutes"), data.pop("done_on")
    for name in NEW_PHOTOS:
        data.pop(name, None)
    closed = close_item(item=item, by=request.user, on=on, **data)
    if minutes:
        log_time(item=closed, person=request.user, minutes=minutes, by=request.user, on=on)
    messages.success(request, f"“{closed.name}” is done.")
    return after_closing(request, closed)


def _with_photos_kept(request, item: WorkItem) -> CloseForm:
    """The sent form; good photographs are kept with the instrument whatever becomes of the rest."""
    form = CloseForm(request.POST, request.FILES, item=item, by=request.user)
    form.is_valid()
    sent = request.POST.copy()
    for new, (name, shot) in NEW_PHOTOS.items():
        received = form.cleaned_data.get(new)
        for sentence in received.refused if received else []:
            messages.warning(request, sentence)
        if received and received.prepared:
            sent[name] = str(_kept(item, received.prepared, shot, by=request.user).pk)
    return CloseForm(sent, item=item, by=request.user) if sent != request.POST else form


def _kept(item: WorkItem, prepared: list, shot: str, *, by) -> Photo:
    added = add_photos(instrument=item.order.instrument, prepared=prepared, by=by)
    for photo in added.new:
        describe_photo(photo=photo, by=by, shot=shot, caption=item.name)
    return (added.new or added.known)[0]
