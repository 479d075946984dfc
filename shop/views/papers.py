"""A PDF as an answer: shown in the browser, kept by nobody on the way."""

import logging

from django.http import Http404, HttpResponse

from shop.models import Paper, Removal

logger = logging.getLogger(__name__)


def pdf_answer(pdf: bytes, name: str) -> HttpResponse:
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"', "Cache-Control": "private, no-store"},
    )


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
