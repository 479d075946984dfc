from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.models import Instrument
from instruments.problems import Problem, Refused
from shop.actions.listing import (
    draft_listing,
    edit_listing,
    publish_listing,
    published_words,
    withdraw_listing,
)
from shop.actions.papers import sale_sheet_of
from shop.calc.drafting import Draft
from shop.calc.tracing import beyond_the_record
from shop.drafts import drafted, voice_in_use
from shop.forms import ListingForm
from shop.listing_words import changes_between, drafted_parts, words_of_form
from shop.missing_shots import missing_shots
from shop.models import Listing
from shop.outrunning import Judged, judged_words, outrun_cautions
from shop.private_names import private_names
from shop.problems import listing_problems
from shop.showing import stated_limits
from shop.views.answers import the_instrument, today
from shop.views.papers import pdf_answer
from shop.wording_problems import unrecorded_cautions, wording_cautions

MOST_VERSIONS = 10
LENGTHS = {"short_text": "short", "social_text": "social"}


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def listing_edit(request, stock_number):
    instrument = the_instrument(stock_number)
    listing = Listing.objects.filter(instrument=instrument).first()
    form = ListingForm(request.POST or None, instance=listing) if listing else None
    if form and request.method == "POST" and form.is_valid():
        edit_listing(listing=listing, by=request.user, **form.cleaned_data)
        messages.success(request, "Listing saved.")
        return redirect("shop:listing_edit", stock_number)
    return _editor(request, instrument, form)


def _editor(request, instrument: Instrument, form: ListingForm | None):
    voice = voice_in_use()
    written = drafted(instrument, voice)
    context = {
        "instrument": instrument,
        "draft": written,
        "drafted": drafted_parts(written, instrument, user=request.user),
        "problems": listing_problems(instrument),
        "limits": stated_limits(instrument, private_names(instrument)),
        "price": instrument.asking_prices.first(),
        "missing_shots": missing_shots(instrument),
        **_saved_words(request, form, written, voice),
    }
    context["problems"] += context.get("cautions", [])
    context["is_blocked"] = any(problem.is_blocker for problem in context["problems"])
    return render(request, "shop/listing_edit.html", context)


def _saved_words(request, form: ListingForm | None, written: Draft, voice) -> dict:
    """What there is to show once a listing was drafted: judged as saved, not as typed and refused."""
    if form is None:
        return {}
    listing = Listing.objects.select_related("instrument").get(pk=form.instance.pk)
    judged = judged_words(listing, written)
    last = listing.publications.select_related("published_by").first()
    most = {name: voice.versions[code].most_characters for name, code in LENGTHS.items()}
    return {
        "form": form,
        "listing": listing,
        "words": words_of_form(form, judged, most, user=request.user),
        "cautions": _cautions(listing, judged),
        "own_faults": _faults_of_their_own(listing, written),
        "publications": listing.publications.select_related("published_by")[:MOST_VERSIONS],
        "last_published": last,
        "changes": changes_between(last.words, published_words(listing)) if last else [],
    }


def _faults_of_their_own(listing: Listing, written: Draft) -> list[str]:
    """What a person wrote of faults or of work left, that a new draft would take from the buyer's eyes."""
    return [
        *beyond_the_record(listing.faults, written.faults),
        *beyond_the_record(listing.not_done, written.not_done),
    ]


def _cautions(listing: Listing, judged: list[Judged] | None = None) -> list[Problem]:
    if judged is None:
        judged = judged_words(listing, drafted(listing.instrument))
    return [
        *wording_cautions(listing, today=today()),
        *outrun_cautions(judged),
        *unrecorded_cautions(listing),
    ]


@require_POST
@permission_required("shop.sell", raise_exception=True)
def listing_draft(request, stock_number):
    draft_listing(instrument=the_instrument(stock_number), by=request.user)
    messages.success(request, "Drafted from the record. Read it, change what you like, then publish.")
    return redirect("shop:listing_edit", stock_number)


@require_POST
@permission_required("shop.sell", raise_exception=True)
def listing_publish(request, stock_number):
    """Publish what stands in the editor. Words that came with the button are saved first, and what speaks
    against them is read before they go public."""
    listing = get_object_or_404(
        Listing.objects.select_related("instrument"), instrument__stock_number=stock_number
    )
    form = ListingForm(request.POST, instance=listing) if "headline" in request.POST else None
    if form and not form.is_valid():
        return _editor(request, listing.instrument, form)
    if form and form.has_changed() and _saved_with_new_cautions(request, form):
        messages.warning(
            request, "The words are saved, not published. Read what is said of them, then publish again."
        )
        return redirect("shop:listing_edit", stock_number)
    try:
        publish_listing(listing=listing, by=request.user)
        messages.success(request, "It is in the window.")
    except Refused as refused:
        saved = "The words are saved. " if form else ""
        messages.error(request, f"{saved}Not published. {refused}")
    return redirect("shop:listing_edit", stock_number)


def _saved_with_new_cautions(request, form: ListingForm) -> bool:
    """Whether the changed words are cautioned for something that nobody could have read before."""
    before = Listing.objects.select_related("instrument").get(pk=form.instance.pk)
    known = {problem.sentence for problem in _cautions(before)}
    listing = edit_listing(listing=before, by=request.user, **form.cleaned_data)
    return any(problem.sentence not in known for problem in _cautions(listing))


@require_POST
@permission_required("shop.sell", raise_exception=True)
def listing_withdraw(request, stock_number):
    listing = get_object_or_404(Listing, instrument__stock_number=stock_number)
    withdraw_listing(listing=listing, by=request.user)
    messages.success(request, "Taken out of the window.")
    return redirect("shop:listing_edit", stock_number)


@require_GET
@permission_required("shop.sell", raise_exception=True)
def listing_sheet(request, stock_number):
    """The A4 sale sheet as it would print today; refused while anything blocks offering the instrument."""
    listing = get_object_or_404(
        Listing.objects.select_related("instrument"), instrument__stock_number=stock_number
    )
    if any(problem.is_blocker for problem in listing_problems(listing.instrument)):
        messages.error(request, "No sheet is printed while something blocks offering it.")
        return redirect("shop:listing_edit", stock_number)
    return pdf_answer(sale_sheet_of(listing, on=today()), f"{stock_number}-sale-sheet.pdf")
