"""A creating form does its work once, however often a phone with a poor line sends it.

The form carries `{% form_token %}`. The view asks `answered_before(request)` first, since a form that has
done its work may no longer be valid ("this serial number is already in stock"), and then lets `once` act:

    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid() and (answer := once(request, lambda: log(form, by=request.user, on=today))):
            return answer
    return render(request, ..., {"form": form})

`act` returns the address to go to. `once` returns None, having said why in a message, when the form came
without its token: the page is shown again with all that was typed. Whatever `act` raises undoes the
transaction, so that the same form can be sent again when it is mended. `then` comes when it is through and
nobody waits for the database any more: what has to be read only to say it is read there.
"""

import hashlib
from collections.abc import Callable

from django.contrib import messages
from django.db import IntegrityError, connection, transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django_htmx.http import HttpResponseClientRedirect

from instruments.form_token import form_token_of
from instruments.models import Submission
from instruments.models.worded import ASKED, Worded, beforehand

MARK_MISSING = (
    "This form had lost the mark that keeps it from being saved twice. Nothing was saved; send it once more."
)


def once(
    request: HttpRequest, act: Callable[[], str], *, then: Callable[[], None] = lambda: None
) -> HttpResponse | None:
    token = form_token_of(request)
    if not token:
        messages.error(request, MARK_MISSING)
        return None
    sent = fingerprint(request)  # reads the files, so not while the database waits
    try:
        with transaction.atomic():
            # A second sending waits here until the first is through: the token is unique.
            submission = Submission.objects.create(token=token, by=request.user, fingerprint=sent)
            submission.url = act()
            submission.keep_url()
    except IntegrityError:
        if answer := answered_before(request):
            return answer
        raise  # not the token: the act itself met a constraint
    then()
    return _go_to(request, submission.url)


def answered_before(request: HttpRequest) -> HttpResponse | None:
    """The answer already given to this very form; a refusal if the token was used for another."""
    earlier = _sent_with(connection.vendor).asking(form_token_of(request)).first()
    if earlier is None:
        return None
    if earlier.by_id != request.user.pk or earlier.fingerprint != fingerprint(request):
        saved = earlier.url if earlier.by_id == request.user.pk else ""
        return render(request, "409.html", {"saved": saved}, status=409)
    return _go_to(request, earlier.url)


@beforehand
def _sent_with(vendor: str) -> Worded:
    return Worded.of(Submission.objects.filter(token=str(ASKED)))


def fingerprint(request: HttpRequest) -> str:
    """What was sent and where to: every field but the CSRF token, every file by its content."""
    digest = hashlib.sha256(request.path.encode())
    for name, values in sorted(request.POST.lists()):
        if name != "csrfmiddlewaretoken":
            digest.update(repr((name, values)).encode())
    for name, uploads in sorted(request.FILES.lists()):
        for uploaded in uploads:
            content = hashlib.sha256()
            for chunk in uploaded.chunks():
                content.update(chunk)
            uploaded.seek(0)
            digest.update(repr((name, uploaded.name, content.hexdigest())).encode())
    return digest.hexdigest()


def _go_to(request: HttpRequest, url: str) -> HttpResponse:
    return HttpResponseClientRedirect(url) if request.htmx else redirect(url)
