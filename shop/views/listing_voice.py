"""How we word our listings: every sentence and the order of every text, each tried on one of the stock."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.actions.listing_voice import (
    order_as_the_house,
    order_version,
    word_as_the_house,
    word_sentence,
)
from shop.calc.voice import Voice, house_voice, topics_of
from shop.drafts import drafted, voice_in_use
from shop.forms.listing_voice import OrderForm, SentenceForm, ShownWithForm
from shop.models import ListingOrder, ListingSentence
from shop.views.answers import answer_form

TEXTS = {"long": "body", "short": "short", "print": "paper", "social": "social"}


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def listing_voice(request):
    voice = voice_in_use()
    context = {
        "versions": [
            (version, [label for topic, label in _in_order(version)], version != house_voice().versions[code])
            for code, version in voice.versions.items()
        ],
        "sentences": [
            (form, form.text != house_voice().forms[code].text) for code, form in voice.forms.items()
        ],
    }
    return render(request, "shop/listing_voice.html", context)


def _in_order(version) -> list[tuple[str, str]]:
    labels = topics_of(version.code)
    return [(topic, labels[topic]) for topic in version.order]


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def listing_sentence_edit(request, code):
    voice = voice_in_use()
    if code not in voice.forms:
        raise Http404
    form = SentenceForm(
        request.POST or None, sentence=voice.forms[code], initial={"wording": voice.forms[code].text}
    )

    def act() -> str:
        word_sentence(code=code, text=form.cleaned_data["wording"], by=request.user)
        messages.success(request, "Saved. The next draft of a listing says it so; those there are stay.")
        return f"{reverse('shop:listing_voice')}#sentence-{code}"

    if answer := _saved(request, form, act):
        return answer
    tried = (
        voice.with_forms({code: form.cleaned_data["wording"]}) if form.is_bound and form.is_valid() else voice
    )
    row = ListingSentence.objects.filter(code=code).first()
    context = {"form": form, "sentence": voice.forms[code], "house": house_voice().forms[code], "row": row}
    return render(request, "shop/listing_sentence.html", context | _tried(request, tried, code=code))


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def listing_order_edit(request, code):
    voice = voice_in_use()
    if code not in voice.versions:
        raise Http404
    form = OrderForm(request.POST or None, version=voice.versions[code])

    def act() -> str:
        most = form.cleaned_data.get("most_characters")
        topics = form.cleaned_data["order"]
        order_version(version=code, topics=topics, most_characters=most, by=request.user)
        messages.success(request, "Saved. The next draft of a listing follows it; those there are stay.")
        return f"{reverse('shop:listing_voice')}#version-{code}"

    if answer := _saved(request, form, act):
        return answer
    tried = voice
    if form.is_bound and form.is_valid():
        wanted = tuple(form.cleaned_data["order"]), form.cleaned_data.get("most_characters")
        tried = voice.with_versions({code: wanted})
    row = ListingOrder.objects.filter(version=code).first()
    context = {"form": form, "version": voice.versions[code], "row": row}
    return render(request, "shop/listing_order.html", context | _tried(request, tried, version=code))


def _saved(request, form, act):
    """The answer once it is saved; a wording that is only tried is shown and kept nowhere."""
    is_tried = "try" in request.POST or not ShownWithForm(request.POST or None).is_fit
    return None if is_tried else answer_form(request, form, act)


def _tried(request, voice: Voice, *, code: str = "", version: str = "") -> dict:
    """What the wording would say of the instrument chosen."""
    shown_with = ShownWithForm(request.POST or request.GET or None)
    instrument = shown_with.chosen
    written = drafted(instrument, voice) if instrument else None
    sentences = getattr(written, TEXTS[version]) if written and version else []
    if written and code:
        sentences = [each for each in written.every if each.code == code]
    said = list(dict.fromkeys(each.text for each in sentences))
    return {"shown_with": shown_with, "instrument": instrument, "said": said}


@require_POST
@permission_required("shop.run_shop", raise_exception=True)
def listing_sentence_back(request, code):
    if code not in house_voice().forms:
        raise Http404
    word_as_the_house(code=code, by=request.user)
    messages.success(request, "Worded as the house does again.")
    return redirect("shop:listing_sentence_edit", code)


@require_POST
@permission_required("shop.run_shop", raise_exception=True)
def listing_order_back(request, code):
    if code not in house_voice().versions:
        raise Http404
    order_as_the_house(version=code, by=request.user)
    messages.success(request, "In the order of the house again.")
    return redirect("shop:listing_order_edit", code)
