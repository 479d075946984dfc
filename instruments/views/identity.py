from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from instruments.actions.identity import correct_identity
from instruments.forms.identity import IdentityForm
from instruments.models import Instrument
from instruments.views.answers import answer_form, the_instrument


@require_http_methods(["GET", "POST"])
@permission_required("instruments.log_instrument", raise_exception=True)
def identity_edit(request, stock_number):
    instrument = the_instrument(stock_number)
    form = IdentityForm(request.POST or None, instance=the_instrument(stock_number))

    def act() -> str:
        correct_identity(instrument=instrument, by=request.user, **form.identity())
        messages.success(request, f"{instrument.stock_number} saved.")
        return instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": instrument, "makers": known_makers()}
    return render(request, "instruments/identity_edit.html", context)


def known_makers() -> list[str]:
    """Makers already in stock, to be picked instead of spelt again."""
    makers = Instrument.objects.order_by("maker").values_list("maker", flat=True).distinct()
    return list(makers[:300])
