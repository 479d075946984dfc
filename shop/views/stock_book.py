"""The lines of the books, periods of them, and the rates of tax they rest on."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Page, Paginator
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.exports import csv_response, xlsx_response
from instruments.problems import Blocker
from shop.actions.periods import add_tax_rate, close_period
from shop.book_export import book_table
from shop.book_problems import closing_problems, first_open_day
from shop.calc.quarters import quarter_end
from shop.forms.books import LinesForm, PeriodForm, TaxRateForm
from shop.models import BookLine, BookPeriod, ShopProfile
from shop.period_figures import Figures, figures_between, figures_of
from shop.states import TaxScheme
from shop.tax_rates import country_of, kind_of, rates_of
from shop.views.answers import answer_form, today

PAGE_SIZE = 50
MOST_PERIODS = 60
RESPONSES = {"csv": csv_response, "xlsx": xlsx_response}
UK_BOXES = {TaxScheme.MARGIN, TaxScheme.STANDARD}


def boxes_of(figures: Figures) -> list:
    """The boxes of the return where we know them; elsewhere the plain sums do."""
    profile = ShopProfile.current()
    return figures.boxes if profile.tax_country == "GB" and profile.tax_scheme in UK_BOXES else []


def page_of(lines, request) -> Page:
    """Every line can be leafed to: nobody may say that the end of a book was left off."""
    rows = lines.select_related("instrument", "corrects", "corrected_by", "sale")
    return Paginator(rows, PAGE_SIZE).get_page(request.GET.get("page"))


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def stock_book(request):
    form = LinesForm(request.GET)
    lines = form.found()
    context = {
        "form": form,
        "figures": figures_of(lines),
        "page": page_of(lines, request),
    }
    return render(request, "shop/stock_book.html", context)


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def stock_book_export(request, form):
    """The lines as they are filtered on the page, all of them."""
    if form not in RESPONSES:
        raise Http404
    heading, rows = book_table(LinesForm(request.GET).found())
    return RESPONSES[form](f"books-{timezone.localdate():%Y-%m-%d}.{form}", heading, rows)


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def book_periods(request):
    starts_on, on = first_open_day(), today()
    figures = figures_of(BookLine.objects.filter(entered_on__gte=starts_on)) if starts_on else None
    context = {
        "periods": BookPeriod.objects.select_related("closed_by")[:MOST_PERIODS],
        "starts_on": starts_on,
        "on": on,
        "figures": figures,
        "boxes": boxes_of(figures) if figures else [],
    }
    return render(request, "shop/book_periods.html", context)


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def period_page(request, pk):
    """A closed period with the sums it was closed with, and its lines."""
    period = get_object_or_404(BookPeriod.objects.select_related("closed_by"), pk=pk)
    lines = BookLine.objects.between(period.starts_on, period.ends_on)
    figures = Figures.from_plain(period.figures)
    context = {
        "period": period,
        "figures": figures,
        "boxes": boxes_of(figures),
        "page": page_of(lines, request),
    }
    return render(request, "shop/period_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def period_close(request):
    """What it comes to stands on the page before it is closed."""
    first = first_open_day() or today()
    asked = {"starts_on": first, "ends_on": quarter_end(first)}
    form = PeriodForm(request.POST or None, initial=asked)

    def act() -> str:
        period = close_period(by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Closed: {period}. Corrections stand in the open period from now on.")
        return reverse("shop:period_page", args=[period.pk])

    if "show" not in request.POST and (answer := answer_form(request, form, act)):
        return answer
    if not form.is_bound:
        return render(request, "shop/period_close.html", {"form": form} | _comes_to(asked))
    shown = _comes_to(form.cleaned_data) if form.is_valid() else {}
    return render(request, "shop/period_close.html", {"form": form} | shown)


def _comes_to(days: dict) -> dict:
    """What the days come to, and what stands against closing them."""
    problems = closing_problems(days["starts_on"], days["ends_on"], today=today())
    figures = figures_between(days["starts_on"], days["ends_on"])
    blockers = [each for each in problems if isinstance(each, Blocker)]
    return {"figures": figures, "boxes": boxes_of(figures), "chosen": days, "problems": blockers}


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def tax_rates(request):
    """The rates of the shop's country with their days and sources, and room for one of its own."""
    profile, form = ShopProfile.current(), TaxRateForm(request.POST or None)

    def act() -> str:
        add_tax_rate(by=request.user, **form.cleaned_data)
        messages.success(request, "Written down. Sales from that day on are taxed by it.")
        return reverse("shop:tax_rates")

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "profile": profile,
        "country": country_of(profile),
        "kind": kind_of(profile).label,
        "rates": rates_of(profile)[::-1],
    }
    return render(request, "shop/tax_rates.html", context)
