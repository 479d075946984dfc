"""Labels with a code: for one instrument on the place that is free, or for a whole selection."""

from django.shortcuts import render
from django.views.decorators.http import require_GET

from instruments.models import Instrument
from shop.addresses import instrument_address
from shop.chosen import chosen_stock
from shop.documents.labels import Label, LabelPaper, build_labels
from shop.forms.labels import LabelForm
from shop.models import Listing, ShopProfile
from shop.views.answers import today
from shop.views.papers import pdf_answer

MOST_LABELS = 210


@require_GET
def labels(request):
    """The choice of sheet and place; with `print` in the question the sheet itself."""
    chosen = chosen_stock(request.GET, most=MOST_LABELS)
    form = LabelForm(request.GET if "sheet" in request.GET else None)
    refusal = _refusal(chosen)
    if "sheet" in request.GET and form.is_valid() and not refusal:
        return _sheet(request, chosen, form)
    context = {"form": form, "chosen": chosen[:MOST_LABELS], "refusal": refusal}
    return render(request, "shop/labels.html", context)


def _refusal(chosen: list[Instrument]) -> str:
    if not chosen:
        return "No instrument is chosen. Tick some in the stock list first."
    if len(chosen) > MOST_LABELS:
        return f"{MOST_LABELS} labels are printed at once at most. Tick fewer, or narrow the list down."
    return ""


def _sheet(request, chosen: list[Instrument], form: LabelForm):
    profile = ShopProfile.current()
    listed = set(
        Listing.objects.in_window().filter(instrument__in=chosen).values_list("instrument", flat=True)
    )
    rows = [
        Label(
            stock_number=each.stock_number,
            maker=each.maker_name,
            serial=each.serial,
            address=instrument_address(each, request, profile, is_listed=each.pk in listed),
        )
        for each in chosen
    ]
    paper = LabelPaper(
        shop_name=profile.name,
        labels=tuple(rows),
        printed_on=today(),
        sheet=form.cleaned_data["sheet"],
        first=form.cleaned_data["first"],
        **form.nudges,
    )
    return pdf_answer(build_labels(paper), "labels.pdf")
