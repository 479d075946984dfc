"""Enquiries for the shop: who asks what, who sees to it, what they were told, how it ended."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.actions.enquiries import close_enquiry, find_real, pass_on, put_asker_on_file
from shop.actions.enquiry_answers import answer_enquiry
from shop.actions.enquiry_erasing import erase_enquiry
from shop.actions.letters import mail_is_set
from shop.doubles import cards_alike
from shop.enquiry_states import EnquiryWay
from shop.enquiry_words import beginning
from shop.forms.enquiries import EnquiryAnswerForm, EnquiryCloseForm, EnquiryCustomerForm, EnquiryPassForm
from shop.models import Enquiry, ShopProfile
from shop.private_names import without_contact
from shop.views.answers import answer_form, today

WHICH = {"open": "Still open", "mine": "Mine", "doubtful": "Doubtful", "closed": "Closed"}


def the_enquiry(request, number: str) -> Enquiry:
    rows = Enquiry.objects.with_answers().select_related("instrument", "person", "handler")
    return get_object_or_404(rows.seen_by(request.user), number=number)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def enquiries(request):
    which = request.GET.get("which", "")
    which = which if which in WHICH else "open"
    rows = Enquiry.objects.with_answers().seen_by(request.user).select_related("instrument", "handler")
    chosen = {
        "open": rows.open().real().order_by("is_answered", "answer_by", "id"),
        "mine": rows.open().real().filter(handler=request.user).order_by("is_answered", "answer_by", "id"),
        "doubtful": rows.doubtful(),
        "closed": rows.filter(closed_on__isnull=False),
    }[which]
    context = {
        "page": Paginator(chosen, 40).get_page(request.GET.get("page")),
        "which": which,
        "tabs": WHICH.items(),
        "in_doubt": Enquiry.objects.seen_by(request.user).doubtful().count(),
        "today": today(),
    }
    return render(request, "shop/enquiries.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def enquiry_page(request, number):
    enquiry, sees = the_enquiry(request, number), request.user.has_perm("shop.see_people")
    context = {
        "enquiry": enquiry,
        "message": enquiry.message if sees else without_contact(enquiry.message, enquiry.name),
        "answers": _answers(enquiry, sees),
        "steps": enquiry.history.select_related("history_user")[:30] if sees else [],
        "wishes": enquiry.wishes.all()[:10] if sees else [],
        "to_copy": EnquiryWay.EMAIL,
        "today": today(),
    }
    return render(request, "shop/enquiry_page.html", context)


def _answers(enquiry: Enquiry, sees: bool) -> list:
    rows = list(enquiry.answers.select_related("written_by", "sending")[:30])
    for each in rows:
        each.shown = each.words if sees else without_contact(each.words, enquiry.name)
    return rows


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def enquiry_answer(request, number):
    enquiry, may_tell = the_enquiry(request, number), request.user.has_perm("shop.see_people")
    form = EnquiryAnswerForm(
        request.POST or None,
        enquiry=enquiry,
        may_tell=may_tell,
        may_send=mail_is_set(),
        initial={"words": beginning(enquiry, ShopProfile.current()) if may_tell else ""},
    )

    def act() -> str:
        answer = answer_enquiry(enquiry=enquiry, by=request.user, **form.answer())
        messages.success(request, _kept_words(answer.how))
        return f"{enquiry.get_absolute_url()}#told"

    if answer := answer_form(request, form, act):
        return answer
    heading = "What they are told" if may_tell else "Advise a colleague what to tell them"
    return _act_page(request, enquiry, form, heading=heading, save="Keep it")


def _kept_words(how: str) -> str:
    if how == EnquiryWay.SENT:
        return "Kept, and handed to the mail server: see below what became of it."
    return "Kept. Copy the words below into your own mail." if how == EnquiryWay.EMAIL else "Kept."


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def enquiry_pass(request, number):
    enquiry = the_enquiry(request, number)
    form = EnquiryPassForm(request.POST or None, initial={"to": enquiry.handler_id})

    def act() -> str:
        pass_on(enquiry=enquiry, by=request.user, **form.cleaned_data)
        messages.success(request, "Passed on: it stands on their Today.")
        return enquiry.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return _act_page(request, enquiry, form, heading="Pass it on", save="Pass it on")


@require_POST
@permission_required("shop.see_people", raise_exception=True)
def enquiry_real(request, number):
    enquiry = the_enquiry(request, number)
    if enquiry.is_open:
        find_real(enquiry=enquiry, by=request.user)
        messages.success(request, f"{number} waits for an answer like any other.")
    return redirect(enquiry)


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def enquiry_close(request, number):
    enquiry = the_enquiry(request, number)
    initial = {"outcome": request.GET.get("outcome", "unwanted" if enquiry.in_doubt else "")}
    form = EnquiryCloseForm(request.POST or None, initial=initial)

    def act() -> str:
        close_enquiry(enquiry=enquiry, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{number} is closed.")
        return enquiry.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return _act_page(request, enquiry, form, heading="How it ended", save="Close it")


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def enquiry_customer(request, number):
    """Which card is theirs, if any: it is asked, and never joined by itself."""
    enquiry = the_enquiry(request, number)
    alike = cards_alike(name=enquiry.name, telephone=enquiry.telephone, email=enquiry.email)
    form = EnquiryCustomerForm(request.POST or None, alike=alike)

    def act() -> str:
        person = put_asker_on_file(enquiry=enquiry, person=form.person(), by=request.user)
        messages.success(request, f"{person} is on file. What do they look for?")
        return enquiry.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return _act_page(request, enquiry, form, heading="Put them on file", save="Put on file")


@require_POST
@permission_required("shop.run_shop", raise_exception=True)
def enquiry_erase(request, number):
    """For those without a card; of others the card is where their data is erased."""
    enquiry = the_enquiry(request, number)
    if enquiry.person_id:
        raise Http404
    erase_enquiry(enquiry=enquiry, why="at their request", by=request.user, on=today())
    messages.success(request, f"What was kept of {number} is erased.")
    return redirect(enquiry)


def _act_page(request, enquiry: Enquiry, form, *, heading: str, save: str):
    sees = request.user.has_perm("shop.see_people")
    context = {
        "form": form,
        "enquiry": enquiry,
        "message": enquiry.message if sees else without_contact(enquiry.message, enquiry.name),
        "heading": heading,
        "save": save,
    }
    return render(request, "shop/enquiry_act.html", context)
