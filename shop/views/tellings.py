"""Telling somebody of what came into the window; and the link by which they are told no more."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required, permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from shop.actions.letters import mail_is_set
from shop.actions.tellings import tell
from shop.actions.tellings import tell_no_more as tell_them_no_more
from shop.forms.wanted import TellForm
from shop.models import ShopProfile, Telling, Wanted
from shop.tellings import NO_ADDRESS, letter_of, to_tell, wanted_by, wishes_told
from shop.views.answers import answer_form, today
from shop.views.photo_links import discreet
from shop.wish_states import TellingState


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def wanted_tell(request, pk, stock_number):
    wish, shop = get_object_or_404(Wanted.objects.select_related("person"), pk=pk), ShopProfile.current()
    theirs = [each for each in wishes_told() if each.pk == wish.pk]
    due = next(iter(to_tell(theirs, stock_number=stock_number)), None)
    if (
        due is None
        and not Telling.objects.filter(wanted=wish, instrument__stock_number=stock_number).exists()
    ):
        raise Http404
    may_send = mail_is_set() and bool(shop.public_address)
    form = TellForm(request.POST or None, may_send=may_send)

    def act() -> str:
        telling = tell(due=due, by=request.user, **form.cleaned_data)
        is_sent = telling.state == TellingState.BEGUN
        messages.success(request, "Handed to the mail server." if is_sent else "Kept.")
        return wish.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "wish": wish,
        "due": due,
        "letter": letter_of(due, shop) if due else None,
        "no_address": "" if shop.public_address else NO_ADDRESS,
    }
    return render(request, "shop/wanted_tell.html", context)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def tell_no_more(request, token):
    """A press ends it; to open the page alone does not, since programs open links as well."""
    wish = wanted_by(token)
    if wish is not None and request.method == "POST":
        wish = tell_them_no_more(wanted=wish, by=None, on=today())
    status = 200 if wish else 404
    context = {"wish": wish, "profile": ShopProfile.current()}
    return discreet(render(request, "shop/tell_no_more.html", context, status=status))
