"""Beside the recordings: links to films the shop made, where the breaks lie, and how it sounds to us."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from instruments.actions.recordings import add_film, remove_film, set_breaks
from instruments.actions.tone import set_tone
from instruments.forms.recordings import BreaksForm, FilmForm
from instruments.forms.tone import ToneForm
from instruments.views.answers import answer_form, the_instrument
from instruments.views.recordings import show_sound


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def film_add(request, stock_number):
    instrument = the_instrument(stock_number)
    form = FilmForm(request.POST)

    def act() -> str:
        add_film(instrument=instrument, by=request.user, **form.cleaned_data)
        messages.success(request, "The link is kept.")
        return f"{reverse('instruments:sound', args=[stock_number])}#films"

    return answer_form(request, form, act) or show_sound(request, instrument, film_form=form)


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def film_remove(request, stock_number, pk):
    instrument = the_instrument(stock_number)
    remove_film(film=get_object_or_404(instrument.films.kept(), pk=pk), by=request.user)
    messages.success(request, "The link is put away.")
    return redirect(f"{reverse('instruments:sound', args=[stock_number])}#films")


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def breaks_set(request, stock_number):
    instrument = the_instrument(stock_number)
    form = BreaksForm(request.POST, instrument=instrument)

    def act() -> str:
        breaks = set_breaks(instrument=instrument, by=request.user, **form.cleaned_data)
        messages.success(request, f"Written down: {str(breaks)[:1].lower()}{str(breaks)[1:]}.")
        return f"{reverse('instruments:sound', args=[stock_number])}#breaks"

    return answer_form(request, form, act) or show_sound(request, instrument, breaks_form=form)


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def tone_set(request, stock_number):
    instrument = the_instrument(stock_number)
    form = ToneForm(request.POST, instrument=instrument)

    def act() -> str:
        words = form.cleaned_data["words"]
        tone = set_tone(instrument=instrument, words=words, on=timezone.localdate(), by=request.user)
        messages.success(request, f"Written down: {tone}." if words else "Nothing is said of its tone.")
        return f"{reverse('instruments:sound', args=[stock_number])}#words"

    return answer_form(request, form, act) or show_sound(request, instrument, tone_form=form)
