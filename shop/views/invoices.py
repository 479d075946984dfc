"""Invoices, credit notes, and the age that decides their label."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from instruments.problems import Refused
from shop.actions.invoices import choose_age, issue_credit_note, issue_invoice, paper_of
from shop.actions.stock_book import book_line_of
from shop.forms.books import AgeForm
from shop.invoice_problems import invoice_problems
from shop.invoice_words import invoice_of
from shop.models import Sale
from shop.states import PaperKind
from shop.views.answers import answer_form, the_instrument, today
from shop.views.papers import kept_paper_answer, printed_answer


def the_sale(number: str) -> Sale:
    return get_object_or_404(Sale.objects.select_related("instrument", "person", "promise"), number=number)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_invoice(request, number):
    """What the invoice will say and what it lacks; pressed once, it is printed and kept."""
    sale = the_sale(number)
    kept = paper_of(sale, PaperKind.INVOICE)
    if request.method == "POST" and not kept:
        try:
            issue_invoice(sale=sale, by=request.user, on=today())
        except Refused as refused:
            messages.error(request, str(refused))
            return redirect("shop:sale_invoice", number)
        messages.success(request, f"Invoice {number} is printed, and kept as printed.")
        return redirect(sale)
    if kept:
        return redirect("shop:sale_invoice_print", number)
    line = book_line_of(sale)
    context = {"sale": sale, "line": line, "problems": invoice_problems(sale)}
    context["invoice"] = invoice_of(sale, on=today()) if line else None
    return render(request, "shop/sale_invoice.html", context)


@require_GET
@permission_required("shop.sell", raise_exception=True)
def sale_invoice_print(request, number):
    kept = paper_of(the_sale(number), PaperKind.INVOICE)
    if kept is None:
        raise Http404("No invoice was issued for this sale.")
    return kept_paper_answer(kept, f"invoice-{number}.pdf")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_credit_note(request, number):
    """The credit note as it was printed the first time."""
    sale = the_sale(number)
    if not hasattr(sale, "ending") or book_line_of(sale) is None:
        raise Http404("This sale stands; there is no credit note.")
    return printed_answer(
        request,
        f"credit-note-{sale.ending.credit_note}.pdf",
        kept=paper_of(sale, PaperKind.CREDIT_NOTE),
        keep=lambda: issue_credit_note(sale=sale, by=request.user),
        refused_to=sale,
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def age_choose(request, stock_number):
    """Whether it counts as an antique, where its dates leave that open."""
    instrument = the_instrument(stock_number)
    form = AgeForm(request.POST or None)

    def act() -> str:
        choose_age(instrument=instrument, by=request.user, **form.cleaned_data)
        messages.success(request, "Written down, with your name and the reason.")
        sale = instrument.sales.first()
        return reverse("shop:sale_invoice", args=[sale.number]) if sale else instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": instrument, "choices": instrument.age_choices.all()[:20]}
    return render(request, "shop/age_choose.html", context)
