"""A customer's own instrument: taken in with a receipt, handed back with what was done."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from instruments.photos import stored_photos
from instruments.views.identity import known_makers
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from shop.actions.people import add_person
from shop.actions.taken_in import hand_back, log_customers_instrument, take_in
from shop.actions.taken_in_papers import handed_back_paper, kept_of, receipt_paper
from shop.actions.work_papers import hand_back_paper_of
from shop.commissions import standings_of
from shop.forms.taken_in import HandBackForm, TakeInAgainForm, TakeInForm
from shop.models import TakenIn
from shop.ownership_problems import handing_back_problems, overdue_cautions, taking_in_problems
from shop.states import PaperKind
from shop.views.answers import act_once, answer_form, only_finds, the_instrument, today
from shop.views.papers import pdf_answer, printed_answer


def the_taken_in(number: str) -> TakenIn:
    rows = TakenIn.objects.select_related("instrument", "person", "taken_in_by", "handed_back_by", "report")
    return get_object_or_404(rows, number=number)


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def taken_in_log(request):
    """A piano that has not been here before."""
    form = TakeInForm(request.POST or None, request.FILES or None, today=today())
    if request.method == "POST" and not only_finds(request, form):
        if answer := answered_before(request):
            return answer
        if form.is_valid() and (answer := _logged(request, form)):
            return answer
    return render(request, "shop/taken_in_log.html", {"form": form, "makers": known_makers()})


def _logged(request, form: TakeInForm):
    with stored_photos(form.received.prepared) as stored:

        def act() -> str:
            person = form.cleaned_data["person"] or add_person(by=request.user, **form.person_card())
            taken_in = log_customers_instrument(
                identity=form.whole_identity(),
                person=person,
                pictures=list(stored),
                by=request.user,
                on=today(),
                **form.paper(),
            )
            stored.keep()
            messages.success(request, f"Taken in as {taken_in.instrument.stock_number}. Print the receipt.")
            for sentence in form.received.refused:
                messages.warning(request, sentence)
            return taken_in.get_absolute_url()

        return act_once(request, form, act)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def taken_in_again(request, stock_number):
    """A piano on file: a customer's own that was here before, or one that we sold."""
    instrument = the_instrument(stock_number)
    last = TakenIn.objects.filter(instrument=instrument).select_related("person").first()
    sale = instrument.sales.select_related("person").first()
    owner = last or sale
    initial = {"person": owner.person_id if owner else None}
    form = TakeInAgainForm(request.POST or None, instrument=instrument, today=today(), initial=initial)

    def act() -> str:
        person = form.cleaned_data["person"] or add_person(by=request.user, **form.person_card())
        taken_in = take_in(instrument=instrument, person=person, by=request.user, on=today(), **form.paper())
        messages.success(request, f"{taken_in.number}: taken in. Print the receipt.")
        return taken_in.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": instrument, "problems": taking_in_problems(instrument)}
    return render(request, "shop/taken_in_form.html", context)


@require_GET
@permission_required("shop.sell", raise_exception=True)
def taken_in_page(request, number):
    taken_in = the_taken_in(number)
    context = {
        "taken_in": taken_in,
        "cautions": overdue_cautions(taken_in, on=today()),
        "standings": standings_of(taken_in.commissions.all()),
        "is_late": taken_in.is_here and taken_in.until < today(),
    }
    return render(request, "shop/taken_in_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def taken_in_back(request, number):
    taken_in = the_taken_in(number)
    form = HandBackForm(request.POST or None, initial={"to": taken_in.person.name})

    def act() -> str:
        hand_back(taken_in=taken_in, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, "It is home again. Print the paper that goes with it.")
        return taken_in.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "taken_in": taken_in, "problems": handing_back_problems(taken_in)}
    return render(request, "shop/taken_in_back.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def taken_in_receipt(request, number):
    taken_in = the_taken_in(number)
    return printed_answer(
        request,
        f"{number}-receipt.pdf",
        kept=kept_of(taken_in, PaperKind.TAKEN_IN),
        keep=lambda: receipt_paper(taken_in=taken_in, by=request.user),
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def taken_in_handed_back(request, number):
    """Kept from the day it went home; before, it is what the paper would say today."""
    taken_in, name = the_taken_in(number), f"{number}-handed-back.pdf"
    if taken_in.handed_back_on is None:
        return pdf_answer(hand_back_paper_of(taken_in, on=today()), name)
    return printed_answer(
        request,
        name,
        kept=kept_of(taken_in, PaperKind.HANDED_BACK),
        keep=lambda: handed_back_paper(taken_in=taken_in, by=request.user),
    )
