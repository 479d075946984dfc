"""What was found at the bench, read by everybody at work and decided by the owner."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from workorders.actions.proposals import accept_proposal, decline_proposal
from workorders.bench_problems import declining_problems, proposal_problems
from workorders.forms.orders import ReasonForm
from workorders.forms.proposals import AgreeForm
from workorders.models import WorkProposal
from workorders.views.answers import answer_or_show, today


def the_proposal(pk: int) -> WorkProposal:
    return get_object_or_404(WorkProposal.objects.told(), pk=pk)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def proposal_page(request, pk):
    return render(request, "workorders/proposal_page.html", {"proposal": the_proposal(pk)})


@require_http_methods(["GET", "POST"])
@permission_required("workorders.override_acceptance", raise_exception=True)
def proposal_agree(request, pk):
    proposal = the_proposal(pk)
    form = AgreeForm(request.POST or None, proposal=proposal)

    def act() -> str:
        answer = accept_proposal(proposal=proposal, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"“{answer.item.name}” is in {answer.item.order.number}.")
        return f"{answer.item.order.get_absolute_url()}#item-{answer.item.pk}"

    return _decide(
        request, proposal, form, act, problems=proposal_problems(proposal, request.user), agrees=True
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.override_acceptance", raise_exception=True)
def proposal_decline(request, pk):
    proposal = the_proposal(pk)
    form = ReasonForm(request.POST or None)

    def act() -> str:
        decline_proposal(proposal=proposal, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, "Declined. Whoever found it reads why.")
        return proposal.get_absolute_url()

    return _decide(request, proposal, form, act, problems=declining_problems(proposal, request.user))


def _decide(request, proposal, form, act, **page):
    blocked = any(problem.is_blocker for problem in page["problems"])
    return answer_or_show(
        request,
        form,
        act,
        template="workorders/proposal_decide.html",
        proposal=proposal,
        blocked=blocked,
        **page,
    )
