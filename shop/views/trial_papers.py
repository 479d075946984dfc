"""The one-page papers of a home trial: printed, and signed on a screen or in ink."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from instruments.documents.fingerprint import in_fours
from instruments.problems import Refused
from instruments.scans import stored_scan
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from shop.actions.papers import stored_paper
from shop.actions.trial_papers import (
    SLIPS,
    issue_slip,
    keep_signed_slip,
    keep_slip_in_ink,
    kept_slip,
    mark_of,
    signed_slip,
)
from shop.calc.signature import HEIGHT, WIDTH
from shop.documents.trial_slip import build_trial_slip
from shop.forms.trial_papers import SignSlipForm
from shop.states import SigningWay
from shop.trial_slips import slip_of
from shop.views.answers import act_once, today
from shop.views.papers import pdf_answer, printed_answer
from shop.views.trials import the_trial


def _the_slip(number: str, kind: str):
    trial = the_trial(number)
    slip, has_happened = slip_of(trial, kind) if kind in SLIPS else (None, False)
    if slip is None:
        raise Http404
    return trial, slip, has_happened


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_paper(request, number, kind):
    """Byte for byte as first printed; before the day, one to take along that nothing is kept of."""
    trial, slip, has_happened = _the_slip(number, kind)
    name = f"{slip.number}-{kind.removeprefix('trial_')}.pdf"
    if not has_happened:
        return pdf_answer(build_trial_slip(slip), name)
    return printed_answer(
        request,
        name,
        kept=kept_slip(trial, kind, slip),
        keep=lambda: issue_slip(trial=trial, kind=kind, slip=slip, by=request.user),
    )


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_paper_sign(request, number, kind):
    trial, slip, has_happened = _the_slip(number, kind)
    if not has_happened:
        raise Http404
    initial = {"content_hash": mark_of(slip, kept_slip(trial, kind, slip))}
    initial |= {"customer_name": trial.person.name}
    initial |= {"signed_on": today()}
    form = SignSlipForm(request.POST or None, request.FILES or None, initial=initial, by=request.user)
    if request.method == "POST":
        answer = answered_before(request)
        if not answer and form.is_valid():
            paper = issue_slip(trial=trial, kind=kind, slip=slip, by=request.user)
            answer = _signed(request, trial, paper, form)
        if answer:
            return answer
    context = {"form": form, "trial": trial, "kind": kind, "slip": slip}
    context |= {"read_hash": in_fours(initial["content_hash"])}
    context |= {"drawing_width": WIDTH, "drawing_height": HEIGHT}
    return render(request, "shop/trial_paper_sign.html", context)


def _signed(request, trial, paper, form):
    typed, by = form.cleaned_data, request.user

    def said() -> str:
        messages.success(request, f"{paper.get_kind_display()} {paper.number} is signed.")
        return trial.get_absolute_url()

    if typed["way"] == SigningWay.PAPER:

        def in_ink() -> str:
            names = {"name": typed["customer_name"], "signed_on": typed["signed_on"]}
            keep_slip_in_ink(paper=paper, stored=stored, by=by, **names)
            return said()

        with stored_scan(typed["file"]) as stored:
            return act_once(request, form, in_ink)
    try:
        slip = signed_slip(paper, read_hash=typed["content_hash"], **form.signatures())
    except Refused as refused:
        form.add_error(None, refused.sentences)
        return None

    def on_screen() -> str:
        keep_signed_slip(paper=paper, slip=slip, stored=stored, by=by)
        return said()

    with stored_paper(f"{slip.number}-signed", build_trial_slip(slip)) as stored:
        return act_once(request, form, on_screen)
