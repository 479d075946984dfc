from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.models import Instrument
from instruments.problems import Problem, Refused
from shop.actions.listing import draft_listing, edit_listing, publish_listing, withdraw_listing
from shop.actions.papers import sale_sheet_of
from shop.calc.drafting import Draft, beyond_the_record, draft
from shop.facts import listing_facts
from shop.forms import ListingForm
from shop.models import Listing
from shop.private_names import private_names
from shop.problems import listing_problems, unrecorded_cautions, wording_cautions
from shop.showing import stated_limits
from shop.views.answers import the_instrument, today
from shop.views.papers import pdf_answer

PARTS = (
    ("The instrument", "body"),
    ("Its history", "history"),
    ("What was done", "work_done"),
    ("What was not done", "not_done"),
    ("Faults", "faults"),
)


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
    return _editor(request, instrument, listing, form)


def _editor(request, instrument: Instrument, listing: Listing | None, form: ListingForm | None):
    worded = _cautions(listing) if listing else []
    drafted = draft(listing_facts(instrument))
    context = {
        "instrument": instrument,
        "listing": listing,
        "form": form,
        "draft": drafted,
        "drafted": [(heading, getattr(drafted, part)) for heading, part in PARTS],
        "problems": [*listing_problems(instrument), *worded],
        "limits": stated_limits(instrument, private_names(instrument)),
        "price": instrument.asking_prices.first(),
        "own_faults": _faults_of_their_own(listing, drafted) if listing else [],
        "publications": listing.publications.all()[:10] if listing else [],
    }
    context["is_blocked"] = any(problem.is_blocker for problem in context["problems"])
    return render(request, "shop/listing_edit.html", context)


def _faults_of_their_own(listing: Listing, drafted: Draft) -> list[str]:
    """What a person wrote of faults or of work left, that a new draft would take from the buyer's eyes."""
    return [
        *beyond_the_record(listing.faults, drafted.faults),
        *beyond_the_record(listing.not_done, drafted.not_done),
    ]


def _cautions(listing: Listing) -> list[Problem]:
    return [*wording_cautions(listing, today=today()), *unrecorded_cautions(listing)]


@require_POST
@permission_required("shop.sell", raise_exception=True)
def listing_draft(request, stock_number):
    draft_listing(instrument=the_instrument(stock_number), by=request.user)
    messages.success(request, "Drafted from the record. Read it, change what you like, then publish.")
    return redirect("shop:listing_edit", stock_number)


@require_POST
@permission_required("shop.sell", raise_exception=True)
def listing_publish(request, stock_number):
    """Publish what stands in the editor: words that came with the button are saved first."""
    listing = get_object_or_404(
        Listing.objects.select_related("instrument"), instrument__stock_number=stock_number
    )
    form = ListingForm(request.POST, instance=listing) if "headline" in request.POST else None
    if form and not form.is_valid():
        return _editor(request, listing.instrument, listing, form)
    if form and form.has_changed():
        listing = edit_listing(listing=listing, by=request.user, **form.cleaned_data)
    try:
        publish_listing(listing=listing, by=request.user)
        messages.success(request, "It is in the window.")
    except Refused as refused:
        saved = "The words are saved. " if form else ""
        messages.error(request, f"{saved}Not published. {refused}")
    return redirect("shop:listing_edit", stock_number)


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
