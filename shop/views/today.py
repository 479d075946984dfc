"""What waits for whom."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.profile import change_profile
from shop.forms import ProfileForm
from shop.hold_words import usual_terms
from shop.models import Promise, ShopProfile
from shop.states import PromiseKind
from shop.views.answers import today as this_day
from shop.waiting import waiting_for


@require_GET
def today(request):
    on = this_day()
    return render(request, "shop/today.html", {"on": on, "groups": waiting_for(request.user, on=on)})


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def profile_edit(request):
    form = ProfileForm(request.POST or None, instance=ShopProfile.current())
    if request.method == "POST" and form.is_valid():
        change_profile(by=request.user, **form.cleaned_data)
        messages.success(request, "Saved.")
        return redirect("shop:profile_edit")
    running = Promise.objects.open().filter(kind=PromiseKind.HOLD).count()
    context = {"form": form, "usual": usual_terms(), "holds_running": running}
    return render(request, "shop/profile_form.html", context)
