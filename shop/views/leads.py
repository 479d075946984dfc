"""Leads: what is offered to us, from the call to the decision."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST, require_safe

from instruments.forms.photos import PhotosForm
from instruments.media import serve_file
from instruments.views.uploads import accepts_uploads
from shop.actions.leads import (
    add_lead_photos,
    correct_lead,
    decide_lead,
    drop_lead_photo,
    put_on_file,
    take_lead,
)
from shop.forms.leads import DecisionForm, LeadForm, LinkForm
from shop.lead_problems import lead_cautions
from shop.models import Lead
from shop.states import LeadState
from shop.views.answers import answer_form, today
from shop.wishes import found_for_lead

PICTURES = {"thumb": "image/webp", "medium": "image/webp", "page": "image/webp", "print": "image/jpeg"}
WAITING = "waiting"


def the_lead(number: str) -> Lead:
    return get_object_or_404(Lead.objects.select_related("person", "instrument", "taken_by"), number=number)


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def leads(request):
    state = request.GET.get("state", WAITING)
    rows = Lead.objects.select_related("person").annotate(photo_count=Count("photos"))
    if state in LeadState.values:
        rows = rows.filter(state=state)
    elif state != "all":
        state, rows = WAITING, rows.waiting()
    page = Paginator(rows.order_by("-id"), 40).get_page(request.GET.get("page"))
    context = {"page": page, "state": state, "states": LeadState.choices, "today": today()}
    return render(request, "shop/leads.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def lead_add(request):
    form = LeadForm(request.POST or None, initial={"called_on": today()})

    def act() -> str:
        card = dict(form.cleaned_data)
        lead = take_lead(by=request.user, on=card.pop("called_on"), **card)
        messages.success(request, f"Kept as {lead.number}.")
        return lead.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/lead_form.html", {"form": form})


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def lead_edit(request, number):
    lead = the_lead(number)
    form = LeadForm(request.POST or None, instance=the_lead(number))

    def act() -> str:
        correct_lead(lead=lead, by=request.user, **form.cleaned_data)
        messages.success(request, "Corrected. What stood there before is in its history.")
        return lead.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/lead_form.html", {"form": form, "lead": lead})


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def lead_page(request, number):
    lead = the_lead(number)
    sees_costs = request.user.has_perm("shop.see_costs")
    context = {
        "lead": lead,
        "problems": lead_cautions(lead, with_costs=sees_costs),
        "photos": lead.photos.all()[:120],
        "link": lead.links.filter(closed_at__isnull=True, expires_on__gte=today()).first(),
        "link_form": LinkForm(),
        "found": found_for_lead(lead) if lead.is_open else [],
        "calculations": lead.calculations.select_related("recorded_by")[:20] if sees_costs else [],
        "decisions": lead.history.select_related("history_user")[:20],
        "today": today(),
    }
    if context["link"]:
        context["address"] = request.build_absolute_uri(context["link"].get_absolute_url())
    return render(request, "shop/lead_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def lead_decide(request, number):
    lead = the_lead(number)
    initial = {"state": lead.state, "visit_on": lead.visit_on, "offered_minor": lead.offered_minor}
    may_offer = request.user.has_perm("shop.see_costs")
    if request.GET.get("state") in LeadState.values:
        initial["state"] = request.GET["state"]
    calculation = lead.calculations.first() if may_offer else None
    form = DecisionForm(request.POST or None, initial=initial, may_offer=may_offer, calculation=calculation)

    def act() -> str:
        decided = decide_lead(lead=lead, by=request.user, on=today(), **form.decision())
        messages.success(request, f"{decided.get_state_display()}.")
        return lead.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/lead_decide.html", {"form": form, "lead": lead, "calculation": calculation})


@require_POST
@permission_required("shop.see_people", raise_exception=True)
def lead_put_on_file(request, number):
    lead = put_on_file(lead=the_lead(number), by=request.user)
    messages.success(request, f"{lead.person} is on file.")
    return redirect(lead)


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def lead_photos(request, number):
    """Photographs that came by another way than the link."""
    lead = the_lead(number)
    form = PhotosForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        received = form.cleaned_data["photos"]
        kept = add_lead_photos(lead=lead, prepared=received.prepared, by=request.user, on=today())
        messages.success(request, f"{kept} new photograph{'s' * (kept != 1)} kept.")
        for sentence in received.refused:
            messages.warning(request, sentence)
        return redirect(f"{lead.get_absolute_url()}#photos")
    return render(request, "shop/lead_photos.html", {"form": form, "lead": lead})


@require_safe
@permission_required("shop.see_people", raise_exception=True)
def lead_photo(request, number, pk, size):
    photo = get_object_or_404(the_lead(number).photos, pk=pk)
    if size not in PICTURES:
        raise Http404("There is no such size.")
    return serve_file(request, getattr(photo, size), media_type=PICTURES[size])


@require_POST
@permission_required("shop.see_people", raise_exception=True)
def lead_photo_drop(request, number, pk):
    photo = get_object_or_404(the_lead(number).photos, pk=pk)
    drop_lead_photo(photo=photo, by=request.user)
    messages.success(request, "Removed for good.")
    return redirect(f"{the_lead(number).get_absolute_url()}#photos")
