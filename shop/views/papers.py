"""A PDF as an answer: shown in the browser, kept by nobody on the way."""

import logging
from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from instruments.problems import Refused
from shop.models import Paper, Removal

logger = logging.getLogger(__name__)


def pdf_answer(pdf: bytes, name: str) -> HttpResponse:
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"', "Cache-Control": "private, no-store"},
    )


def printed_answer(
    request: HttpRequest, name: str, *, kept: Paper | None, keep: Callable[[], Paper], refused_to: object = ""
) -> HttpResponse:
    """Reading shows what is kept and writes nothing; a press prints what is not kept yet, and keeps it.

    `keep` writes a file, so it stands in no transaction and in no `once`: it keeps one paper however often
    it is called. What it refuses is said at `refused_to`.
    """
    if request.method != "POST":
        return kept_paper_answer(kept, name) if kept else render(request, "shop/paper_unprinted.html")
    try:
        if not kept:
            keep()
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect(refused_to)
    return redirect(request.get_full_path())


def kept_paper_answer(paper: Paper, name: str) -> HttpResponse:
    """Byte for byte as it was printed; 404 when its days are over, or its file has gone from the store."""
    if Removal.objects.filter(kind=paper._meta.label_lower, row=paper.pk).exists():
        raise Http404("This paper was removed: the time for which it had to be kept is over.")
    try:
        with paper.file.open("rb") as kept:
            return pdf_answer(kept.read(), name)
    except FileNotFoundError as error:
        logger.error("The stored file %s is missing.", paper.file.name)
        raise Http404("This paper is missing from the store.") from error
