"""One item of work: read, closed by its proof, given to somebody, left, opened again."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from instruments.key_marks import key_strip_of
from instruments.models import KeyMark
from workorders.actions.gates import waive_gates
from workorders.actions.items import assign_item, describe_item, leave_item, reopen_item, set_needs
from workorders.forms.items import AssignForm, ItemDetailsForm, NeedsForm
from workorders.forms.orders import ReasonForm
from workorders.gates import gates_before, waivers_of
from workorders.models import WorkProposal
from workorders.problems import item_problems, leaving_problems, reopening_problems, waiving_problems
from workorders.views.answers import answer_or_show, the_item, today

HISTORY_SHOWN = 20
NOTES_SHOWN = 30


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def item_page(request, pk):
    item = the_item(pk)
    context = {
        "item": item,
        "problems": item_problems(item) if item.is_open else [],
        "gates": gates_before(item) if item.is_open else [],
        "waivers": waivers_of([item]),
        "needs": item.needs.select_related("order").order_by("rank", "id"),
        "needed_by": item.needed_by.select_related("order").order_by("rank", "id"),
        "outside": item.outside_jobs.select_related("outworker"),
        "times": item.times.select_related("person", "corrected_by"),
        "found": item.finding_links.select_related("finding__found_by"),
        "strip": _strip_of(item),
        "parts": item.parts.select_related("recorded_by", "corrected_by"),
        "timers": item.timers.running().select_related("person"),
        "notes": item.notes.select_related("recorded_by", "photo").order_by("-id")[:NOTES_SHOWN],
        "proposals": WorkProposal.objects.told().filter(item=item)[:NOTES_SHOWN],
        "changes": item.history.select_related("history_user")[:HISTORY_SHOWN],
    }
    return render(request, "workorders/item_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_assign(request, pk):
    item = the_item(pk)
    form = AssignForm(request.POST or None, initial={"to": item.assigned_to_id})

    def act() -> str:
        assign_item(item=item, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"“{item.name}” is {_whose(form.cleaned_data['to'], request.user)}.")
        from_bench = request.POST.get("then") == "bench"
        return reverse("workorders:bench") if from_bench else item.get_absolute_url()

    return _about(request, item, form, act, heading="Who does it?", save="Give it")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_edit(request, pk):
    item = the_item(pk)
    form = ItemDetailsForm(request.POST or None, instance=the_item(pk), by=request.user)

    def act() -> str:
        describe_item(item=item, by=request.user, **form.cleaned_data)
        messages.success(request, "Saved.")
        return item.get_absolute_url()

    return _about(request, item, form, act, heading="Which keys, how long, what else", save="Save")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_needs(request, pk):
    item = the_item(pk)
    form = NeedsForm(request.POST or None, item=item)

    def act() -> str:
        set_needs(item=item, by=request.user, **form.cleaned_data)
        messages.success(request, "Saved.")
        return item.get_absolute_url()

    return _about(
        request,
        item,
        form,
        act,
        heading="What must come first?",
        lede="It cannot be closed while any of these is open.",
        save="Save",
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_leave(request, pk):
    item = the_item(pk)
    form = ReasonForm(request.POST or None)

    def act() -> str:
        leave_item(item=item, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"“{item.name}” is left as it is.")
        return item.order.get_absolute_url()

    return _about(
        request,
        item,
        form,
        act,
        heading="Leave it as it is",
        lede="A decision not to do it. The reason stays, and the listing will say what was not done.",
        problems=leaving_problems(item, request.user),
        save="Leave it",
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.override_acceptance", raise_exception=True)
def item_waive(request, pk):
    item = the_item(pk)
    form = ReasonForm(request.POST or None)

    def act() -> str:
        waive_gates(item=item, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"“{item.name}” may go on. The reason stays with it.")
        return item.get_absolute_url()

    return _about(
        request,
        item,
        form,
        act,
        heading="Let it go on before the structure is proven",
        lede="Of the structure, "
        + ("; ".join(gate.words for gate in gates_before(item)) or "nothing stands before it")
        + ". It will not wait for that any longer; what comes up later holds it up again.",
        problems=waiving_problems(item, request.user),
        save="Let it go on",
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_reopen(request, pk):
    item = the_item(pk)
    form = ReasonForm(request.POST or None)

    def act() -> str:
        reopen_item(item=item, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"“{item.name}” is open again.")
        return item.get_absolute_url()

    return _about(
        request,
        item,
        form,
        act,
        heading="Open it again",
        lede="Its earlier closing stays in the record; time and parts stay in the cost.",
        problems=reopening_problems(item),
        save="Open it again",
    )


def _strip_of(item):
    """The keyboard with the marks this item was made for, cleared ones too; a mark made anew only once."""
    marks = KeyMark.objects.filter(item_links__item=item, clearing__marked_again__isnull=True)
    marks = marks.select_related("marked_by", "clearing__cleared_by")
    return key_strip_of(item.order.instrument, marks=marks)


def _about(request, item, form, act, **page):
    return answer_or_show(
        request, form, act, above=item, about=item.order.instrument, back=item.get_absolute_url(), **page
    )


def _whose(person, user) -> str:
    if person is None:
        return "free for anybody"
    return "yours" if person == user else f"with {person.get_full_name() or person.get_username()}"
