"""Handing over the history of an instrument: the pages for sales, and what the code on the paper opens."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required, permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.media import serve_file
from instruments.models import Photo
from instruments.views.once import answered_before, once
from shop.actions.histories import history_paper, issue_history, kept_history
from shop.documents.instrument_history import History
from shop.life import life_from
from shop.linked_data import history_data
from shop.models import HistoryIssue
from shop.standing_history import standing_of_history
from shop.states import PaperKind
from shop.views.answers import the_instrument, today
from shop.views.papers import printed_answer
from shop.window_pictures import SIZES

PAPERS = {"history": PaperKind.HISTORY, "short": PaperKind.HISTORY_SHORT}
MOST_ISSUES = 40


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def history_hand_over(request, stock_number):
    instrument = the_instrument(stock_number)

    def act() -> str:
        issue = issue_history(instrument=instrument, by=request.user, on=today())
        messages.success(request, f"History {issue.number} is issued. Print it, and the card for inside.")
        return reverse("shop:history_hand_over", args=[stock_number])

    if request.method == "POST" and (answer := answered_before(request) or once(request, act)):
        return answer
    issues = list(instrument.history_issues.select_related("issued_by", "instrument")[:MOST_ISSUES])
    context = {
        "instrument": instrument,
        "issues": issues,
        "standing": standing_of_history(issues[0], today=today()) if issues else None,
    }
    return render(request, "shop/history_hand_over.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def history_print(request, number, form):
    """The paper as it was printed the first time."""
    issue = get_object_or_404(HistoryIssue.objects.select_related("instrument"), number=number)
    if form not in PAPERS:
        raise Http404
    address = request.build_absolute_uri(issue.get_absolute_url())
    return printed_answer(
        request,
        f"{number}-{form}.pdf",
        kept=kept_history(issue, PAPERS[form]),
        keep=lambda: history_paper(issue=issue, kind=PAPERS[form], address=address, by=request.user),
    )


@login_not_required
@require_GET
def history_public(request, token):
    """The history as issued, its hash, and whether the record has changed since."""
    issue = get_object_or_404(HistoryIssue.objects.select_related("instrument"), token=token)
    history = History.from_plain(issue.content)
    shas = [photo.sha256 for photo in history.photos]
    context = {
        "issue": issue,
        "history": history,
        "life": life_from(history.life, today=timezone.localdate(issue.issued_at)),
        "photos": issue.instrument.photos.public().filter(sha256__in=shas),
        "standing": standing_of_history(issue, today=today()),
        "linked_data": history_data(history),
    }
    response = render(request, "shop/history_public.html", context)
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex"
    return response


@login_not_required
@require_GET
def history_photo(request, token, pk, size):
    """A public picture of the instrument whose history this is, as long as it is public."""
    issue = get_object_or_404(HistoryIssue, token=token)
    photo = get_object_or_404(Photo.objects.public(), pk=pk, instrument=issue.instrument_id)
    if size not in SIZES or photo.sha256 not in {each["sha256"] for each in issue.content["photos"]}:
        raise Http404
    field, media_type, _ = SIZES[size]
    response = serve_file(request, getattr(photo, field), media_type=media_type, public=True)
    response["Referrer-Policy"] = "no-referrer"
    return response
