"""Who does work for us outside."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from workorders.actions.outside import keep_outworker
from workorders.forms.outside import OutworkerForm
from workorders.models import Outworker
from workorders.store_states import OutsideState
from workorders.views.answers import answer_or_show

SHOWN = 60


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def outworker_list(request):
    under_way = Count("jobs", filter=Q(jobs__state=OutsideState.SENT))
    outworkers = Outworker.objects.annotate(under_way=under_way).order_by("-in_use", "name")
    page = Paginator(outworkers, SHOWN).get_page(request.GET.get("page"))
    return render(request, "workorders/outworker_list.html", {"page": page})


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def outworker_add(request):
    return _kept(request, OutworkerForm(request.POST or None), heading="Add an outworker")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def outworker_edit(request, pk):
    form = OutworkerForm(request.POST or None, instance=get_object_or_404(Outworker, pk=pk))
    return _kept(request, form, heading="Change what is noted of them")


def _kept(request, form, *, heading: str):
    def act() -> str:
        kept = keep_outworker(outworker=form.save(commit=False), by=request.user)
        messages.success(request, f"{kept} is noted.")
        return reverse("workorders:outworker_list")

    back = reverse("workorders:outworker_list")
    trail = [(reverse("workorders:outside_list"), "Work outside"), (back, "Outworkers")]
    return answer_or_show(
        request,
        form,
        act,
        template="workorders/stores_form.html",
        heading=heading,
        trail=trail,
        back=back,
        save="Save",
    )
