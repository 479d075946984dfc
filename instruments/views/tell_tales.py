"""What is looked for to test a claim, in one instrument; and the library that says what to look for."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.actions.evidence import record_sightings
from instruments.actions.photos import add_photos, describe_photo
from instruments.actions.tell_tales import add_tell_tale, edit_tell_tale
from instruments.forms.tell_tales import TellTaleForm, TellTaleSheet
from instruments.library import questions
from instruments.models import Photo, TellTale
from instruments.standings import moved_between, shop_questions, weighed_statements
from instruments.views.answers import answer_form, the_instrument
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads

LONGEST_CAPTION = 160


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def tell_tales(request, stock_number):
    instrument = the_instrument(stock_number)
    if answer := answered_before(request) if request.method == "POST" else None:
        return answer
    sheet = _sheet(request, instrument)
    before = weighed_statements(instrument)

    def act() -> str:
        written = record_sightings(
            instrument=instrument, by=request.user, on=timezone.localdate(), **sheet.sightings()
        )
        _tell(request, written, moved_between(before, weighed_statements(instrument)))
        return reverse("instruments:tell_tales", args=[stock_number])

    if answer := answer_form(request, sheet, act):
        return answer
    tested = [
        (question, forms, [each for each in before if question in each.questions])
        for question, forms in sheet.questions
    ]
    context = {"instrument": instrument, "sheet": sheet, "tested": tested}
    return render(request, "instruments/tell_tales.html", context)


def _sheet(request, instrument) -> TellTaleSheet:
    """The sheet as sent; a good photograph is kept with the instrument whatever becomes of the rest."""
    library = shop_questions()
    sheet = TellTaleSheet(request.POST or None, request.FILES or None, instrument=instrument, library=library)
    if not request.FILES:
        return sheet
    sheet.is_valid()
    sent = request.POST.copy()
    for form in sheet.forms:
        for sentence in form.received.refused:
            messages.warning(request, sentence)
        if form.received.prepared:
            photo = _kept(instrument, form, by=request.user)
            sent[form.add_prefix("photo")], sent[form.add_prefix("is_seen")] = str(photo.pk), "on"
    return TellTaleSheet(sent, instrument=instrument, library=library)


def _kept(instrument, form, *, by) -> Photo:
    """The first of several goes with what is seen; all of them stay with the instrument."""
    added = add_photos(instrument=instrument, prepared=form.received.prepared, by=by)
    for photo in added.new:
        describe_photo(photo=photo, by=by, caption=form.tell_tale.text[:LONGEST_CAPTION].rstrip("."))
    return (added.new or added.known)[0]


def _tell(request, written: list, moved: list) -> None:
    """What was noted, and every statement that stands elsewhere by it."""
    if not written:
        messages.info(request, "Nothing has changed.")
        return
    messages.success(request, f"{len(written)} tell-tale{'s' * (len(written) > 1)} noted.")
    for each in moved:
        messages.warning(request, each.sentence) if each.fell else messages.success(request, each.sentence)
    if not moved:
        messages.info(request, "No statement stands elsewhere by it.")


@require_GET
@permission_required("instruments.keep_library", raise_exception=True)
def tell_tale_list(request):
    rows = list(TellTale.objects.all())
    listed = [(question, [row for row in rows if row.question == question.code]) for question in questions()]
    return render(request, "instruments/tell_tale_list.html", {"listed": listed})


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def tell_tale_add(request, question):
    asked = _question(question)
    form = TellTaleForm(request.POST or None, question=asked)

    def act() -> str:
        tell_tale = add_tell_tale(question=asked.code, by=request.user, **form.said())
        messages.success(request, "Added to the library.")
        return _in_list(tell_tale)

    context = {"form": form, "question": asked}
    return answer_form(request, form, act) or render(request, "instruments/tell_tale_form.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def tell_tale_edit(request, pk):
    tell_tale = get_object_or_404(TellTale, pk=pk)
    asked = _question(tell_tale.question)
    form = TellTaleForm(request.POST or None, instance=tell_tale, question=asked)

    def act() -> str:
        edit_tell_tale(tell_tale=tell_tale, by=request.user, **form.said())
        messages.success(request, "Changed. Every statement it bears on is weighed by it from now on.")
        return _in_list(tell_tale)

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "question": asked, "tell_tale": tell_tale}
    context["changes"] = tell_tale.history.select_related("history_user")[:20]
    return render(request, "instruments/tell_tale_form.html", context)


def _question(code: str):
    for question in questions():
        if question.code == code:
            return question
    raise Http404("There is no such question.")


def _in_list(tell_tale: TellTale) -> str:
    return f"{reverse('instruments:tell_tale_list')}#tell-tale-{tell_tale.pk}"
